// SPDX-License-Identifier: GPL-3.0-or-later
// Our own pictures: a patch of face with lines as wide as its grain, marks cut through,
// arrows for strokes, bars on an axis of sizes.
import { html, depth, settings } from "./base.js";

const lg = (um) => Math.log10(um);
const count = (n) => Array.from({ length: n }, (_, i) => i);

// Lines thicker and further apart the coarser the grain: never to scale, always in order.
export function patch({ um = 30, deg = 0, old, round, label }) {
  const coarse = Math.min(1, Math.max(0, (lg(um) + 1) / 3.6));
  const gap = 2.2 + 11 * coarse;
  const width = 0.5 + 3.4 * coarse * coarse;
  const lines = (d, opacity, step) => html`<g
    transform="rotate(${-d} 40 40)"
    opacity=${opacity}
    class="ink"
    fill="none"
  >
    ${count(Math.ceil(120 / step)).map((i) => {
      const y = -20 + i * step + (((i * 7) % 3) - 1) * gap * 0.12;
      return html`<path stroke-width=${width} d="M-20 ${y}H100" />`;
    })}
  </g>`;
  const curls = [
    [20, 22],
    [52, 18],
    [36, 46],
    [62, 54],
    [16, 62],
  ];
  return html`<svg viewBox="0 0 80 80" role="img" aria-label=${label || "lines of this grit"}>
    ${round
      ? html`<g class="ink" fill="none" stroke-width=${width}>
          ${curls.map(([x, y]) => html`<circle cx=${x} cy=${y} r="13" opacity=".7" />`)}
        </g>`
      : lines(deg, 0.8, gap)}
    ${old != null && lines(old, 0.25, gap * 2)}
  </svg>`;
}

// Marks of a depth, cut through: a profile with the worst mark in it.
export function profile({ um, smooth }) {
  const d = Math.min(34, 5 + 11 * Math.max(0, lg(Math.max(um, 0.1)) + 0.3));
  let p = "M0 16";
  for (let x = 0; x < 100; x += 10)
    p += smooth
      ? `L${x + 5} ${16 + d * 0.15 * ((x / 10) % 2)}L${x + 10} 16`
      : `L${x + 4} ${16 + d * (x === 40 ? 1 : 0.45)}L${x + 10} 16`;
  return html`<svg viewBox="0 0 100 60" preserveAspectRatio="none" aria-hidden="true">
    <path d="${p}V60H0Z" fill="var(--rule)" />
    <path d=${p} class="ink" fill="none" stroke-width="2" />
  </svg>`;
}

export function arrow(deg, kind) {
  const circle = html`<path
    class="ink"
    fill="none"
    stroke-width="4"
    d="M46 30a16 16 0 1 1-6-12M40 8v11h-11"
  />`;
  const straight = html`<g
    transform="rotate(${-(deg || 0)} 30 30)"
    class="ink"
    fill="none"
    stroke-width="4"
  >
    <path d="M8 30H52M42 20l10 10-10 10" />
    ${kind !== "one-way" && html`<path d="M18 20L8 30l10 10" />`}
  </g>`;
  return html`<svg
    viewBox="0 0 60 60"
    width="60"
    height="60"
    role="img"
    aria-label=${`strokes ${kind}, ${Math.round(deg || 0)} degrees`}
  >
    ${kind === "circles" ? circle : straight}
  </svg>`;
}

const TICKS = [0.1, 0.5, 1, 5, 10, 50, 100, 500, 1000, 5000];

/** Where a size stands between two, in percent of the way, on a log axis. */
function along(um, from, to) {
  const at = Math.min(Math.max(um, from), to);
  return (100 * (lg(at) - lg(from))) / (lg(to) - lg(from));
}

/** Limits of an axis that holds all items with some room. */
export function fit(items) {
  const all = items.flatMap((m) => [m.coarse ?? m.um * 1.4, m.fine ?? m.um * 0.7]);
  return { from: Math.max(0.05, Math.min(...all) / 1.6), to: Math.max(...all) * 1.6 };
}

// Bars on a log axis of sizes, as rows of text: readable at any width and by any reader.
// items: {name, um, coarse?, fine?, faint?, note?}
export function sizeAxis({ items, from, to, label }) {
  const ticks = TICKS.filter((t) => t >= from && t <= to);
  const pc = (um) => `${along(um, from, to)}%`;
  const row = (m) => {
    const a = along(m.fine ?? m.um * 0.75, from, to);
    const b = Math.max(along(m.coarse ?? m.um * 1.35, from, to), a + 1.5);
    return html`<li class=${m.faint ? "faint" : ""}>
      <span class="name">${m.name}</span>
      <span class="track" aria-hidden="true">
        ${ticks.map((t) => html`<i class="tick" style=${{ left: pc(t) }} />`)}
        <i class="span" style=${{ left: `${a}%`, width: `${b - a}%` }} />
        <i class="mid" style=${{ left: pc(m.um) }} />
      </span>
      <span class="num">${m.note ?? depth(m.um, 3)}</span>
    </li>`;
  };
  return html`<ol class="sizes" aria-label=${label ?? "Sizes, on a log axis"}>
    ${items.map(row)}
    <li class="ticks" aria-hidden="true">
      <span class="track">
        ${ticks.map(
          (t) => html`<span style=${{ left: pc(t) }}>
            ${settings.units === "inch" ? Number((t / 25.4).toPrecision(2)) : t}
          </span>`,
        )}
      </span>
      <span class="num">${settings.units === "inch" ? "thou" : "\u00b5m"}</span>
    </li>
  </ol>`;
}
