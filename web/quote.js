// SPDX-License-Identifier: GPL-3.0-or-later
// A quote: the band for the shop, one figure for the customer, the text for a mail.
import { html, useState, useRef, ask, money, time, number, settings, keep, read } from "./base.js";
import { store, goalQuery } from "./store.js";

const KEY = "levigate-quote";
const FIELDS = [
  ["count", "How many pieces", "numeric"],
  ["corners", "Inside corners a piece", "numeric"],
  ["edge_m", "Edges a piece, m", "decimal"],
  ["holes", "Holes a piece", "numeric"],
  ["weld_mm", "Weld to dress a piece, mm", "decimal"],
  ["mask", "Faces to mask a piece", "numeric"],
  ["readings", "Readings a piece", "numeric"],
  ["margin_pct", "Added to the cost, %", "decimal"],
  ["minimum", "Least charge", "decimal"],
  ["subcontract", "Work given out, a piece", "decimal"],
];

function query(a, more) {
  const q = new URLSearchParams(more);
  for (const [k] of FIELDS) if (number(a[k]) !== null) q.set(k, String(number(a[k])));
  if (a.first) q.set("first_article", "1");
  if (store.shop) q.set("log", "1");
  return q;
}

function Lines({ r }) {
  const row = (l) => html`<tr>
    <th scope="row">${l.words}</th>
    <td class="num">${l.time_s ? time(l.time_s.p50) : ""}</td>
    <td class="num">${money(l.cost_minor.p10, r.currency)}</td>
    <td class="num"><b>${money(l.cost_minor.p50, r.currency)}</b></td>
    <td class="num">${money(l.cost_minor.p90, r.currency)}</td>
  </tr>`;
  return html`<div class="scroll card" tabindex="0" role="region" aria-label="For the shop">
    <table>
      <caption>For the shop: what it costs, with its band</caption>
      <thead>
        <tr>
          <th scope="col">Line</th>
          <th scope="col">Time</th>
          <th scope="col">Low</th>
          <th scope="col">Likely</th>
          <th scope="col">High</th>
        </tr>
      </thead>
      <tbody>${r.lines.map(row)}</tbody>
    </table>
  </div>`;
}

function Breaks({ r }) {
  const row = (b) => html`<li>
    <b>${money(b.each_minor, r.currency)}</b> each at ${b.count}
    ${b.is_minimum && html`<small> (least charge)</small>`}
  </li>`;
  return html`<section class="card">
    <h2>By number</h2>
    <ul>${r.breaks.map(row)}</ul>
  </section>`;
}

/** Where the clipboard is closed to a page, the text is marked for the fingers to copy. */
function Customer({ text }) {
  const box = useRef(null);
  const [done, set] = useState(false);
  const copy = async () => {
    box.current.select();
    if (navigator.clipboard) await navigator.clipboard.writeText(text);
    set(true);
  };
  const lines = text.split("\n").length + 1;
  return html`<section class="card">
    <h2>For the customer</h2>
    <textarea ref=${box} readonly rows=${lines} aria-label="For the customer" value=${text} />
    <button onClick=${copy}>Copy it</button>
    ${done &&
    html`<p role="status">${navigator.clipboard ? "Copied." : "Marked: copy it with your fingers."}</p>`}
  </section>`;
}

function Past({ p, currency }) {
  if (!p?.entries && p?.quoted_minor === undefined) return null;
  return html`<p class="facts card">
    ${p.quoted_minor !== undefined &&
    html`<span>quoted last <b>${money(p.quoted_minor, p.currency ?? currency)}</b> each</span>`}
    ${p.quoted_s > 0 && html`<span>for <b>${time(p.quoted_s)}</b></span>`}
    ${p.work_s > 0 && html`<span>done in <b>${time(p.work_s)}</b> (${p.entries} entries)</span>`}
  </p>`;
}

function Result({ r }) {
  const band = [r.price.cost_minor.p10, r.price.cost_minor.p90].map((x) => money(x, r.currency));
  return html`<section aria-live="polite">
    <p class="answer">${money(r.price.each_minor, r.currency)} each at ${r.price.count}</p>
    <p class="proof">All of it costs the shop ${band[0]} to ${band[1]} in 8 of 10 cases.</p>
    ${!r.feasible && html`<p class="warn">Some face cannot be done: it has no line here.</p>`}
    <${Past} p=${r.past} currency=${r.currency} />
    <${Lines} r=${r} />
    ${r.breaks.length > 0 && html`<${Breaks} r=${r} />`}
    <${Customer} text=${r.customer} />
  </section>`;
}

export function Quote() {
  const [a, setA] = useState(() => read(KEY, { count: String(store.job.count ?? 1) }));
  const [got, setGot] = useState({});
  const set = (k, v) => {
    const n = { ...a, [k]: v };
    setA(n);
    keep(KEY, n);
  };
  const run = (more) => (e) => {
    e?.preventDefault();
    setGot({ busy: true });
    const job = { ...store.job, labour_minor_per_h: Math.round(settings.labour * 100) };
    ask(`/api/quote?${query(a, more)}${goalQuery()}`, job).then(
      (r) => setGot({ r, kept: Boolean(more?.keep) }),
      (x) => setGot({ e: x.message }),
    );
  };
  if (!store.job.faces.length)
    return html`<h1>Quote</h1>
      <p>A quote is worked out from the ladders of a job.</p>
      <a class="button main" href="#/new">Five questions to a ladder</a>`;
  const field = ([k, words, mode]) => html`<label class="grow">
    ${words}
    <input inputmode=${mode} value=${a[k] ?? ""} onInput=${(e) => set(k, e.target.value)} />
  </label>`;
  return html`<h1>Quote</h1>
    <p>${store.job.name}. What no ladder counts, a piece:</p>
    <form onSubmit=${run()}>
      <div class="row">${FIELDS.map(field)}</div>
      <label class="tick">
        <input
          type="checkbox"
          checked=${Boolean(a.first)}
          onChange=${(e) => set("first", e.target.checked)}
        />
        The first piece is measured and shown
      </label>
      <div class="row">
        <button class="main grow" disabled=${got.busy}>Work it out</button>
        ${got.r &&
        store.shop &&
        html`<button type="button" onClick=${run({ keep: "1" })}>Keep it with the job</button>`}
      </div>
    </form>
    ${got.busy && html`<p role="status">Working it out${"\u2026"}</p>`}
    ${got.kept && html`<p class="gate" role="status">Kept in the shop with the job.</p>`}
    ${got.e && html`<p class="warn" role="alert">${got.e}</p>`}
    ${got.r && html`<${Result} r=${got.r} />`}`;
}
