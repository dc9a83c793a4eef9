// SPDX-License-Identifier: GPL-3.0-or-later
// What is this grit? By what is printed, or by bench tests when nothing is.
import { html, useState, useEffect, useAnswer, useWords, ask, depth } from "./base.js";
import { sizeAxis, fit } from "./draw.js";
import { say } from "./words.js";

const size = (m) => m.d50_um ?? m.pitch_um ?? m.max_um;
const NAMES = {
  P: "P, European paper",
  "ANSI-coated": "North American paper",
  "ANSI-bonded": "North American wheels",
  "ANSI-micro": "North American powder",
  JIS: "Japanese",
  "JIS-tube": "Japanese, tube method",
  F: "F, wheels and powder",
  "F-tube": "F, tube method",
  "garnet-aught": "garnet paper of old",
  "emery-paper": "emery polishing paper",
  "steel-wool": "steel wool",
};
const named = (m) => NAMES[m.system] ?? m.system;
const SIGNS = {
  none: "no letter or sign",
  coated: "grain glued on paper, cloth or film",
  bonded: "grain through and through: a stone or wheel",
};

/** A test that tells systems apart: what to do, and what each outcome means. */
function Tell({ test }) {
  const [, what, outcomes] = test.match(/^(look [^:]*): (.* is .*)$/) ?? [];
  if (!what) return html`<p class="proof">${test}</p>`;
  const row = (o) => {
    const [sign, systems] = o.split(" is ");
    return html`<li>
      <b>${SIGNS[sign] ?? sign}</b>:${" "}
      ${systems.split(", ").map((x, i) => html`${i > 0 && "; "}<span>${NAMES[x] ?? x}</span>`)}
    </li>`;
  };
  return html`<div class="proof">
    <span>${what}</span>
    <ul>
      ${outcomes.split("; ").map(row)}
    </ul>
  </div>`;
}

const bar = (m) => ({
  name: `${m.label}, ${named(m)}`,
  um: size(m),
  coarse: m.coarse_um,
  fine: m.fine_um,
});
const bars = (list) => list.filter(size).map(bar);

function Table({ list, caption }) {
  const row = (m) => html`<tr>
    <th scope="row">${m.label}</th>
    <td>${named(m)}</td>
    <td class="num">${size(m) ? depth(size(m), 3) : "not published"}</td>
    <td>${m.method}</td>
    <td>${m.mark}</td>
  </tr>`;
  return html`<div class="scroll" tabindex="0" role="region" aria-label=${caption}>
    <table>
      <caption>${caption}</caption>
      <thead>
        <tr>
          <th scope="col">Marking</th>
          <th scope="col">System</th>
          <th scope="col">Middle grain</th>
          <th scope="col">Measured by</th>
          <th scope="col">Known from</th>
        </tr>
      </thead>
      <tbody>${list.map(row)}</tbody>
    </table>
  </div>`;
}

const address = (q) => (q ? `/api/grit?marking=${encodeURIComponent(q)}` : null);

/** The drawer's media of about that size, for the axis; empty without a shop. */
function useDrawer(q) {
  const { r } = useAnswer(q ? "/api/drawer" : null, (p) => ask(p).catch(() => ({})));
  return (r?.lines ?? []).filter((m) => m.d50_um);
}

function Answer({ r, q }) {
  const first = r.matches[0];
  const known = bars(r.matches);
  const near = (m) => known.some((k) => m.d50_um > k.um / 1.6 && m.d50_um < k.um * 1.6);
  const mine = useDrawer(q)
    .filter(near)
    .map((m) => ({ name: `in your drawer: ${m.label}`, um: m.d50_um, faint: true }));
  const items = [...known, ...mine];
  return html`<section aria-live="polite">
    <p class="answer">
      ${first.label}${" "}${say(r.ambiguous ? "is most likely" : "is")}${" "}
      ${size(first) ? depth(size(first), 3) : "of no published size"}
    </p>
    ${r.tests?.length > 0 && html`<${Tell} test=${r.tests[0]} />`}
    ${r.tests?.length > 1 &&
    html`<details class="q">
      <summary>Another test</summary>
      <div>${r.tests.slice(1).map((t) => html`<${Tell} test=${t} />`)}</div>
    </details>`}
    ${r.warning && html`<p class="warn">${r.warning}</p>`}
    ${items.length > 0 &&
    html`<div class="card">${sizeAxis({ items, ...fit(items), label: "Grain sizes" })}</div>`}
    <${Table} list=${r.matches} caption="All it can be" />
  </section>`;
}

export function Grits({ q, go }) {
  const [text, set] = useState(q || "");
  const { r, e } = useAnswer(address(q));
  useEffect(() => set(q || ""), [q]);
  const look = (ev) => {
    ev.preventDefault();
    if (text.trim()) go(`grits/${encodeURIComponent(text.trim())}`);
  };
  return html`<h1>What is this grit?</h1>
    <form onSubmit=${look}>
      <label for="m">Type what is printed on the back</label>
      <div class="row">
        <input
          id="m"
          class="grow"
          value=${text}
          onInput=${(ev) => set(ev.target.value)}
          placeholder="P220, 400, 9 um"
          maxlength="80"
          autocomplete="off"
          autocapitalize="characters"
          enterkeyhint="search"
        />
        <button class="main">What is it</button>
      </div>
    </form>
    ${e && html`<p class="warn" role="alert">${e}</p>`}
    ${r && html`<${Answer} r=${r} q=${q} />`}
    <div class="row">
      <a class="button" href="#/unmarked">Nothing is printed</a>
      ${q &&
      html`<a class="button" href=${`#/wall/${encodeURIComponent(q)}`}>Show it to the class</a>`}
      <a class="button" href="/api/chart?format=pdf" target="_blank">Wall chart</a>
    </div>`;
}

// One size for the back row: nothing but the name, the bars and the way back.
export function Wall({ q }) {
  const { r, e } = useAnswer(address(q));
  const items = bars(r?.matches ?? []);
  return html`<div class="wall">
    <p class="answer">${e || say(`Everything called ${q}`)}</p>
    ${items.length > 0 && sizeAxis({ items, ...fit(items) })}
    <div class="row">
      <a class="button" href=${`#/grits/${encodeURIComponent(q)}`}>Back</a>
      <button onClick=${() => document.documentElement.requestFullscreen?.().catch(() => {})}>
        Whole screen
      </button>
    </div>
  </div>`;
}

// ---- nothing printed ----

const KNOWN = [
  ["coarser", "Mine scratches over it"],
  ["like", "No difference"],
  ["finer", "It scratches over mine"],
];
const SEEN = [
  ["seen", "I see single grains"],
  ["not-seen", "I see none"],
];
const BACKS = [
  ["paper", "Paper"],
  ["cloth", "Cloth"],
  ["film", "Film"],
  ["stone", "A stone"],
];

function Narrowed({ r, back }) {
  const items = bars(r.candidates.slice(0, 5));
  const answer = r.contradicts
    ? "These tests contradict each other"
    : r.low_um
      ? `${say("Grains of")} ${depth(r.low_um)} ${say("to")} ${depth(r.high_um)}`
      : "Not narrowed yet";
  return html`<div class="card">
    <p class="answer">${answer}</p>
    <p class="small">${r.remaining} markings still fit, likeliest first:</p>
    ${items.length > 0 && sizeAxis({ items, from: 0.5, to: 3000 })}
    <button onClick=${back}>Take back the last test</button>
  </div>`;
}

export function Unmarked() {
  const [tests, set] = useState([]);
  const [known, setKnown] = useState("P220");
  const words = useWords();
  const query = tests.map((t) => `test=${encodeURIComponent(t)}`).join("&");
  const { r, e } = useAnswer(tests.length ? `/api/grit/identify?${query}` : null);
  const kind = (t) => t.split("=")[0];
  const add = (t) => {
    const pair = /like|coarser|finer/.test(kind(t));
    set([...tests.filter((x) => pair || kind(x) !== kind(t)), t]);
  };
  const pick = (title, key, list) =>
    html`<h2>${title}</h2>
      <div class="row">
        ${list.map(([v, w]) => {
          const on = tests.includes(`${key}=${v}`);
          return html`<button
            aria-pressed=${on ? "true" : "false"}
            class=${on ? "main" : ""}
            onClick=${() => add(`${key}=${v}`)}
          >
            ${w}
          </button>`;
        })}
      </div>`;
  return html`<h1>Nothing on the back</h1>
    <p>Each test narrows it. Do those you can.</p>
    <div aria-live="polite" class="stay">
      ${r && html`<${Narrowed} r=${r} back=${() => set(tests.slice(0, -1))} />`}
      ${e && html`<p class="warn" role="alert">${e}</p>`}
    </div>
    <h2>Rub it crossed with a sheet you know</h2>
    <label for="k">The known one</label>
    <input id="k" value=${known} onInput=${(ev) => setKnown(ev.target.value)} />
    <div class="row">
      ${KNOWN.map(([how, w]) => html`<button onClick=${() => add(`${how}=${known}`)}>${w}</button>`)}
    </div>
    ${pick("At reading distance", "grains", SEEN)} ${pick("What is it on?", "backing", BACKS)}
    ${words.r &&
    pick(
      "Draw a fingertip over it lightly",
      "feel",
      words.r.feel.map((f) => [f.word, f.word]),
    )}`;
}
