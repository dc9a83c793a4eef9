// SPDX-License-Identifier: GPL-3.0-or-later
// Checks at the bench, faults by their sign, cautions, settings, keys.
import { html, useState, useEffect, once, send, depth, settings, applySettings } from "./base.js";
import { useAnswer } from "./grits.js";
import { Cautions } from "./job.js";
import { store } from "./store.js";
const useWords = () => { const [w, set] = useState({}); useEffect(() => { once("/api/words").then((r) => set({ r }), (e) => set({ e: e.message })); }, []); return w; };
const wait = (w) => w.e ? html`<p class="warn" role="alert">${w.e}</p>` : html`<p role="status">One moment\u2026</p>`;
export function Checks() {
  const w = useWords(), when = [["start", "Before you start"], ["during", "While you rub"], ["change", "At each change of grit"], ["gate", "Before the fine grits"], ["end", "At the end"]];
  return html`<h1>Is it done?</h1><p class="answer">Done when no old line is left under a low lamp.</p><div class="row"><a class="button" href="#/faults">Something looks wrong</a><a class="button" href="#/readings">I have a reading</a></div>${!w.r ? wait(w) : when.map(([k, t]) => html`<h2>${t}</h2><ul>${w.r.prompts.filter((p) => p.step === k).map((p) => html`<li><p>${p.words}</p></li>`)}</ul>`)}`;
}
export function Faults() {
  const w = useWords();
  return html`<h1>What do you see?</h1>${!w.r ? wait(w) : html`<div class="list">${w.r.faults.map((f) => html`<details class="q"><summary>${f.sign}</summary><div><p class="answer">${f.action}</p><p>Likely: ${f.cause}.</p></div></details>`)}</div>`}`;
}
export function Safety() {
  const w = useWords(), [m, setM] = useState(""), [d, setD] = useState([]), [n, setN] = useState("none");
  const { r, e } = useAnswer(`/api/safety?${new URLSearchParams([...(m ? [["material", m]] : []), ...d.map((x) => ["drive", x]), ...(n !== "none" ? [["next", n]] : [])])}`);
  return html`<h1>Safety</h1><p>Danger first. Say what you do, and the list fits it.</p>
  <label>Work on<select value=${m} onChange=${(x) => setM(x.target.value)}>${[["", "anything"], ["metal", "metal"], ["steel", "steel"], ["stainless", "stainless steel"], ["aluminium", "aluminium"], ["wood", "wood"], ["c_lead", "old paint"], ["stone", "stone"], ["polymer", "plastic"]].map(([v, t]) => html`<option value=${v}>${t}</option>`)}</select></label>
  <label>With<select value=${d[0] ?? ""} onChange=${(x) => setD(x.target.value ? [x.target.value] : [])}><option value="">by hand or machine</option>${(w.r?.drives ?? []).map((x) => html`<option value=${x.id}>${x.words}</option>`)}</select></label>
  <label>Afterwards<select value=${n} onChange=${(x) => setN(x.target.value)}>${["none", "oil", "wax", "lacquer", "paint", "stain", "plate", "adhesive"].map((x) => html`<option>${x}</option>`)}</select></label>
  <div aria-live="polite">${e && html`<p class="warn" role="alert">${e}</p>`}${r && html`<${Cautions} list=${r.cautions} deference=${r.deference}/>`}</div>`;
}
export function Settings() {
  const [, again] = useState(0), set = (k, v) => { settings[k] = v; applySettings(); again((x) => x + 1); };
  const group = (title, k, list) => html`<h2 id=${k}>${title}</h2><div class="row" role="group" aria-labelledby=${k}>${list.map(([v, t]) => html`<button aria-pressed=${settings[k] === v ? "true" : "false"} class=${settings[k] === v ? "main" : ""} onClick=${() => set(k, v)}>${t}</button>`)}</div>`;
  return html`<h1>Settings</h1>${group("Lengths and depths", "units", [["metric", "Metric"], ["inch", "Inch"]])}${group("Screen", "look", [["auto", "As the phone"], ["light", "Light"], ["dark", "Dark"]])}${group("Hand", "hand", [["usual", "Bare fingers"], ["large", "Gloves or knuckle"]])}${group("Paper", "paper", [["A4", "A4"], ["A5", "A5"], ["Letter", "Letter"]])}
  <h2>This page</h2><p><a href="#/keys">Keys</a>, <a href="/web/vendor/LICENSE.txt">licences of what it is made with</a>, <a href="/plain/plan">without scripting</a>.</p><p class="small">Settings and the draft of the job stay in this browser.</p>`;
}
export function Keys() {
  return html`<h1>Keys</h1><table><tbody>${[["?", "this list"], ["h", "questions"], ["n", "new face"], ["j", "the job"], ["g", "grits"], ["c", "job card"], ["s", "safety"], ["Ctrl Z", "undo"], ["Ctrl Shift Z", "redo"], ["Esc", "back from here, close the bench"], ["Tab, Enter, Space", "move and press"]].map(([k, t]) => html`<tr><th scope="row"><kbd>${k}</kbd></th><td>${t}</td></tr>`)}</tbody></table>`;
}
export function Readings() {
  const [r, setR] = useState(null), [e, setE] = useState(null), [busy, setBusy] = useState(false), [max, setMax] = useState("");
  const take = async (ev) => { const f = ev.target.files[0]; if (!f) return; setE(null); setR(null); setBusy(true);
    try { const q = max.trim() ? `?max_um=${encodeURIComponent(max)}` : ""; setR({ name: f.name, ...await send(`/api/trace${q}`, f) }); } catch (x) { setE(x.message); } setBusy(false); };
  const shown = r && Object.entries(r).filter(([k, v]) => typeof v === "number" && /^[RS]/.test(k)), unit = (k) => k.endsWith("_um") ? " \u00b5m" : k.endsWith("_pct") ? " %" : k.endsWith("_deg") ? "\u00b0" : "";
  return html`<h1>Readings</h1><p>A trace or a map from an instrument: X3P, SDF, SMD, CSV, TIFF or PNG.</p>
  <label>Ra (of a map: Sa) should not be over, \u00b5m (may stay empty)<input inputmode="decimal" value=${max} onInput=${(x) => setMax(x.target.value)}/></label>
  <label>The file<input type="file" onChange=${take}/></label>${busy && html`<p role="status">Measuring\u2026</p>`}${e && html`<p class="warn" role="alert">${e}</p>`}
  ${r && html`<section aria-live="polite"><p class="answer">${r.Ra_um != null ? `Ra ${depth(r.Ra_um, 3)}` : r.Sa_um != null ? `Sa ${depth(r.Sa_um, 3)}` : "Measured"}${r.lines?.length ? `; deepest line ${depth(r.lines[0].depth_um)}` : ""}</p>
  ${r.limit && html`<p class="gate">${r.limit.accepted === true ? "Within the limit." : r.limit.accepted === false ? "Over the limit." : ""}</p>`}
  <div class="scroll" tabindex="0" role="region" aria-label="All parameters"><table><caption>${r.name}</caption><tbody>${shown.map(([k, v]) => html`<tr><th scope="row">${k.replace(/_(um|pct|deg|mm)$/, "")}</th><td class="num">${Number(v.toPrecision(3))}${unit(k)}</td></tr>`)}</tbody></table></div>
  <p class="small">${(r.notes ?? []).join("; ")}</p></section>`}`;
}
