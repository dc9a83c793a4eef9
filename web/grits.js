// SPDX-License-Identifier: GPL-3.0-or-later
// What is this grit? By what is printed, or by bench tests when nothing is.
import { html, useState, useEffect, ask, once, depth } from "./base.js";
import { sizeAxis } from "./draw.js";
const size = (m) => m.d50_um ?? m.pitch_um ?? m.max_um;
const names = { P: "P, European paper", "ANSI-coated": "North American paper", "ANSI-bonded": "North American wheels", JIS: "Japanese", F: "F, wheels and powder" };
const bars = (list) => list.filter(size).map((m) => ({ name: `${m.label}, ${names[m.system] ?? m.system}: ${depth(size(m), 3)}`, um: size(m), coarse: m.coarse_um, fine: m.fine_um }));
function fit(list) { const all = list.flatMap((m) => [m.coarse_um ?? size(m) * 1.4, m.fine_um ?? size(m) * .7]).filter(Boolean);
  return { from: Math.max(.1, Math.min(...all) / 2), to: Math.max(...all) * 2 }; }
function Table({ list, caption }) {
  return html`<div class="scroll" tabindex="0" role="region" aria-label=${caption}><table><caption>${caption}</caption><thead><tr><th scope="col">Marking</th><th scope="col">System</th><th scope="col">Middle grain</th><th scope="col">Measured by</th><th scope="col">Known from</th></tr></thead><tbody>
  ${list.map((m) => html`<tr><th scope="row">${m.label}</th><td>${names[m.system] ?? m.system}</td><td class="num">${size(m) ? depth(size(m), 3) : "not published"}</td><td>${m.method}</td><td>${m.mark}</td></tr>`)}</tbody></table></div>`;
}
export function useAnswer(path) {
  const [a, set] = useState({});
  useEffect(() => { let live = true; set({});
    if (path) ask(path).then((r) => live && set({ r }), (e) => live && set({ e: e.message }));
    return () => { live = false; }; }, [path]);
  return a;
}
const path = (q) => q ? `/api/grit?marking=${encodeURIComponent(q)}` : null;
export function Grits({ q, go }) {
  const [text, set] = useState(q || ""), { r, e } = useAnswer(path(q));
  useEffect(() => set(q || ""), [q]);
  return html`<h1>What is this grit?</h1>
  <form onSubmit=${(ev) => { ev.preventDefault(); if (text.trim()) go(`grits/${encodeURIComponent(text.trim())}`); }}>
    <label for="m">Type what is printed on the back</label>
    <div class="row"><input id="m" class="grow" value=${text} onInput=${(ev) => set(ev.target.value)} placeholder="P220, 400, 9 um" maxlength="80" autocomplete="off"/><button class="main">What is it</button></div></form>
  <div class="row"><a class="button" href="#/unmarked">Nothing is printed</a>${q && html`<a class="button" href=${`#/wall/${encodeURIComponent(q)}`}>Show it to the class</a>`}<a class="button" href="/api/chart?format=pdf" target="_blank">Wall chart</a></div>
  ${e && html`<p class="warn" role="alert">${e}</p>`}
  ${r && html`<section aria-live="polite"><p class="answer">${r.matches[0].label} is ${r.ambiguous ? "most likely " : ""}${size(r.matches[0]) ? depth(size(r.matches[0]), 3) : "of no published size"}</p>
  ${(r.tests ?? []).map((t) => html`<p class="proof">${t}</p>`)}${r.warning && html`<p class="warn">${r.warning}</p>`}
  <div class="card">${sizeAxis({ items: bars(r.matches), ...fit(r.matches) })}</div><${Table} list=${r.matches} caption="All it can be"/></section>`}`;
}
export function Wall({ q, go }) {
  const { r, e } = useAnswer(path(q));
  return html`<div class="wall"><p class="answer">${e || `Everything called ${q}`}</p>
   ${r && sizeAxis({ items: bars(r.matches), ...fit(r.matches) })}<a class="button" href=${`#/grits/${encodeURIComponent(q)}`}>Back</a></div>`;
}
export function Unmarked() {
  const [tests, set] = useState([]), [known, setKnown] = useState("P220"), [words, setWords] = useState(null);
  useEffect(() => { once("/api/words").then(setWords, () => {}); }, []);
  const { r, e } = useAnswer(tests.length ? `/api/grit/identify?${tests.map((t) => `test=${encodeURIComponent(t)}`).join("&")}` : null);
  const add = (t) => set([...tests.filter((x) => x.split("=")[0] !== t.split("=")[0] || /like|coarser|finer/.test(t)), t]);
  const pick = (title, key, list) => html`<h2>${title}</h2><div class="row">${list.map(([v, w]) => html`<button aria-pressed=${tests.includes(`${key}=${v}`)} class=${tests.includes(`${key}=${v}`) ? "main" : ""} onClick=${() => add(`${key}=${v}`)}>${w}</button>`)}</div>`;
  return html`<h1>Nothing on the back</h1><p>Each test narrows it. Do those you can.</p>
  <div aria-live="polite">${r && html`<div class="card"><p class="answer">${r.contradicts ? "These tests contradict each other" : r.low_um ? `Grains of ${depth(r.low_um)} to ${depth(r.high_um)}` : "Not narrowed yet"}</p>
   <p class="small">${r.remaining} markings still fit, likeliest first: ${r.candidates.slice(0, 5).map((c) => c.label).join(", ")}.</p>
   ${sizeAxis({ items: bars(r.candidates.slice(0, 5)), from: .5, to: 3000, h: 40 })}<button onClick=${() => set(tests.slice(0, -1))}>Take back the last test</button></div>`}${e && html`<p class="warn" role="alert">${e}</p>`}</div>
  <h2>Rub it crossed with a sheet you know</h2><label for="k">The known one</label><input id="k" value=${known} onInput=${(ev) => setKnown(ev.target.value)}/>
  <div class="row"><button onClick=${() => add(`coarser=${known}`)}>Mine scratches over it</button><button onClick=${() => add(`like=${known}`)}>No difference</button><button onClick=${() => add(`finer=${known}`)}>It scratches over mine</button></div>
  ${pick("At reading distance", "grains", [["seen", "I see single grains"], ["not-seen", "I see none"]])}
  ${pick("What is it on?", "backing", [["paper", "Paper"], ["cloth", "Cloth"], ["film", "Film"], ["stone", "A stone"]])}
  ${words && pick("Draw a fingertip over it lightly", "feel", words.feel.map((f) => [f.word, f.word]))}`;
}
