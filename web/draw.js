// SPDX-License-Identifier: GPL-3.0-or-later
// Our own pictures: a patch of face with lines as wide as its grain, and the size axis.
import { html } from "./base.js";
const lg = (um) => Math.log10(um);
// Lines thicker and further apart the coarser the grain: never to scale, always in order.
export function patch({ um = 30, deg = 0, old, round, label }) {
  const k = Math.min(1, Math.max(0, (lg(um) + 1) / 3.6)), gap = 2.2 + 11 * k, w = 0.5 + 3.4 * k * k;
  const rows = (d, op, step) => html`<g transform="rotate(${-d} 40 40)" opacity=${op} class="ink" fill="none">${
    Array.from({ length: Math.ceil(120 / step) }, (_, i) => html`<path stroke-width=${w} d="M-20 ${-20 + i * step + (i * 7 % 3 - 1) * gap * .12}H100"/>`)}</g>`;
  return html`<svg viewBox="0 0 80 80" role="img" aria-label=${label || "lines of this grit"}>
    ${round ? html`<g class="ink" fill="none" stroke-width=${w}>${[[20, 22], [52, 18], [36, 46], [62, 54], [16, 62]].map(([x, y]) =>
      html`<circle cx=${x} cy=${y} r="13" opacity=".7"/>`)}</g>` : rows(deg, .8, gap)}
    ${old != null && rows(old, .25, gap * 2)}</svg>`;
}
// Marks of a depth, cut through: a profile with the worst mark in it.
export function profile({ um, smooth }) {
  const d = Math.min(34, 5 + 11 * Math.max(0, lg(Math.max(um, .1)) + .3));
  let p = "M0 16";
  for (let x = 0; x < 100; x += 10) p += smooth ? `L${x + 5} ${16 + d * .15 * (x / 10 % 2)}L${x + 10} 16` : `L${x + 4} ${16 + d * (x === 40 ? 1 : .45)}L${x + 10} 16`;
  return html`<svg viewBox="0 0 100 60" preserveAspectRatio="none" aria-hidden="true"><path d="${p}V60H0Z" fill="var(--rule)"/><path d=${p} class="ink" fill="none" stroke-width="2"/></svg>`;
}
// Bars on a log axis of micrometres; items: {name, um, coarse, fine, strong}.
export function sizeAxis({ items, from = 0.5, to = 1500, h = 46 }) {
  const W = 640, x = (um) => 8 + (W - 16) * (lg(Math.min(Math.max(um, from), to)) - lg(from)) / (lg(to) - lg(from));
  const H = 24 + items.length * h, ticks = [0.5, 1, 5, 10, 50, 100, 500, 1000].filter((t) => t >= from && t <= to);
  return html`<svg class="axis" viewBox="0 0 ${W} ${H}" role="img" aria-label="Grain sizes in micrometres, on a log scale; the table below says the same">
    ${ticks.map((t) => html`<path class="grid" d="M${x(t)} 0V${H - 20}"/><text x=${x(t)} y=${H - 4} text-anchor="middle" class="soft">${t}${t === 1000 ? " \u00b5m" : ""}</text>`)}
    ${items.map((m, i) => { const y = i * h, a = x(m.fine ?? m.um * .75), b = Math.max(x(m.coarse ?? m.um * 1.35), a + 6), left = (a + b) / 2 > W * .6;
      return html`<rect x=${a} y=${y + 4} width=${b - a} height=${h * .38} rx="4" class="fill" opacity=${m.strong === false ? .45 : .9}/>
      <path class="ink" stroke-width="3" d="M${x(m.um)} ${y + 1}v${h * .38 + 6}"/>
      <text x=${left ? b : a} y=${y + h * .38 + 19} text-anchor=${left ? "end" : "start"}>${m.name}</text>`; })}</svg>`;
}
export const arrow = (deg, kind) => html`<svg viewBox="0 0 60 60" width="60" height="60" role="img" aria-label=${`strokes ${kind}, ${Math.round(deg || 0)} degrees`}>
  ${kind === "circles" ? html`<path class="ink" fill="none" stroke-width="4" d="M46 30a16 16 0 1 1-6-12M40 8v11h-11"/>`
    : html`<g transform="rotate(${-(deg || 0)} 30 30)" class="ink" fill="none" stroke-width="4"><path d="M8 30H52M42 20l10 10-10 10"/>${kind !== "one-way" && html`<path d="M18 20L8 30l10 10"/>`}</g>`}</svg>`;
