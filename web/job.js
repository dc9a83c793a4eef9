// SPDX-License-Identifier: GPL-3.0-or-later
// The job and its faces; one face's ladder; the card; the way back from a late line.
import { html, useState, useEffect, ask, once, time, spread, depth, likeness, money, sheets, plain, settings, keep } from "./base.js";
import { store, edit, plan, planNow, planKey, fresh } from "./store.js";
import { patch } from "./draw.js";
const url = encodeURIComponent;
export const label = (s) => s.label?.includes("-") ? plain(s.label).replace(/^(\w+) (\w+)$/, "$2 $1").replace("smooth draw file", "draw-file, smooth") : `${s.system === "um" ? `${s.label} \u00b5m` : s.label}`;
export const backing = { glass: "plate of glass", hardwood: "hardwood block", "hard-felt": "hard felt", cork: "cork block", foam: "foam pad", fingers: "fingers" };
export const push = (s) => `${{ feather: "feather's touch", hand: "weight of the hand", normal: "normal push", firm: "firm push", leaning: "lean on it", tool: "weight of the tool" }[s.push] ?? "push"}, ${Number((s.push_n / 9.81).toPrecision(1))} kg`;
export function usePlan(name) {
  const [s, set] = useState({}), f = store.job.faces.find((x) => x.name === name), key = f && planKey(f);
  useEffect(() => { let live = true; set({});
    if (f) plan(name).then((p) => live && set({ p }), (e) => live && set({ e: e.message }));
    return () => { live = false; }; }, [key]);
  return { f, p: planNow(name) ?? s.p, e: s.e };
}
export const chosen = (name, p) => { const g = store.notes[`goal:${name}`] ?? "usual"; return p.ladders.find((l) => l.goal === g) ?? p.ladders[0]; };
const sentence = (t) => { const s = plain(String(t).toLowerCase()); return s.charAt(0).toUpperCase() + s.slice(1).replace(/\bp(\d+)/g, "P$1"); };
function Row({ name }) {
  const { p, e } = usePlan(name);
  return html`<a class="card" style="display:block;color:inherit;text-decoration:none" href=${`#/face/${url(name)}`}><h2 style="margin:0">${name}</h2><p>${e || (p ? (p.feasible ? sentence(p.answer) : p.why_not) : "Working it out\u2026")}</p></a>`;
}
export function Job({ go }) {
  const n = store.job.faces.length, [bad, setBad] = useState("");
  const take = async (ev) => { try { const job = JSON.parse(await ev.target.files[0].text()); if (!Array.isArray(job.faces)) throw new Error(); edit((j, notes) => { for (const k of Object.keys(j)) delete j[k]; Object.assign(j, job); for (const k of Object.keys(notes)) delete notes[k]; }); setBad(""); } catch { setBad("That file is no job: it should be JSON with faces, as saved here."); } };
  const save = () => { const a = document.createElement("a"); a.href = URL.createObjectURL(new Blob([JSON.stringify(store.job, null, 1)], { type: "application/json" })); a.download = `${store.job.name.replace(/\W+/g, "-")}.json`; a.click(); };
  return html`<h1>${n ? "The job" : "No face yet"}</h1>
  ${n > 0 && html`<label for="jn">Name of the piece<input id="jn" value=${store.job.name} maxlength="40" onChange=${(e) => e.target.value.trim() && edit((j) => { j.name = e.target.value.trim(); })}/></label>`}
  ${store.job.faces.map((f) => html`<${Row} key=${f.name} name=${f.name}/>`)}
  <div class="row"><a class="button main grow" href="#/new">${n ? "Add a face" : "Five questions to a ladder"}</a>${n > 0 && html`<a class="button grow" href="#/card">The job card</a>`}</div>
  <div class="row"><label class="button">Open a saved job<input type="file" accept=".json,application/json" onChange=${take} style="position:absolute;opacity:0;width:1px;min-height:1px"/></label>${n > 0 && html`<button onClick=${save}>Save it as a file</button><button onClick=${fresh}>Start afresh</button>`}</div>${bad && html`<p class="warn" role="alert">${bad}</p>`}`;
}
export function Cautions({ list, deference }) {
  const [all, set] = useState(false), shown = all ? list : list.slice(0, 5);
  return html`<section><h2>Before you start</h2>${shown.map((c) => html`<p class=${c.severity === "danger" ? "warn" : "card"}><span class="lev">${c.severity}</span>${c.text}<br/><small>${c.when ? `${c.when}. ` : ""}${c.mark}</small></p>`)}${list.length > 5 && html`<button onClick=${() => set(!all)}>${all ? "Fewer" : `All ${list.length}`}</button>`}<p class="small">${deference}</p></section>`;
}
function Step({ s, i, max, prev }) {
  const pc = (x) => `${Math.min(100, 100 * x / max)}%`;
  return html`<li class="card step">${patch({ um: s.d50_um ?? 90, deg: s.direction, round: s.stroke === "circles" || s.drive === "orbital", old: prev?.direction, label: `lines of ${label(s)}` })}
  <div><div class="name">${i}. ${label(s)}</div><div class="facts"><span>${backing[s.backing] ?? plain(s.backing || s.drive)}</span><span>${push(s)}</span><span>${s.fluid}</span></div><div class="facts"><span>look after <b>${time(s.look_s)}</b></span><span>takes off <b>${depth(s.remove_um)}</b>${likeness(s.remove_um)}</span>${s.system && html`<span>${sheets(s.sheets)}</span>`}</div></div>
  <div class="bar" role="img" aria-label=${spread(s.time_s)}><i style=${{ width: pc(s.time_s.p50) }}></i><i class="late" style=${{ left: pc(s.time_s.p50), width: pc(s.time_s.p90 - s.time_s.p50) }}></i></div>
  <div style="grid-column:1/-1"><span class="small">${spread(s.time_s)}</span><p class="proof">${s.check}</p>${s.gate && html`<p class="gate">Full check with the lens here. A line found later costs the whole way back.</p>`}
  <details class="q"><summary>Why this step, and if it is left out</summary><div><p>${s.why}.</p><p>${s.if_skipped}.</p><p>Stop if ${s.stop_if}.</p><p class="small">${(s.notes ?? []).join("; ")}</p></div></details></div></li>`;
}
function Choice({ p, l, pick }) {
  const words = { usual: "Usual", time: "Quickest", money: "Cheapest", removal: "Least taken off", steps: "Fewest steps" };
  const by = [...p.ladders].sort((a, b) => a.remove_um.p50 - b.remove_um.p50), at = by.indexOf(l);
  const X = (v, k, lo = Math.min(...p.pareto.map((q) => q[k]), l[k].p50), hi = Math.max(...p.pareto.map((q) => q[k]), l[k].p50)) => (v - lo) / (hi - lo || 1);
  return html`<section aria-label="Choose between ladders"><h2>What matters most?</h2><div class="row">${p.ladders.map((x) => html`<button class=${x === l ? "main" : ""} aria-pressed=${x === l ? "true" : "false"} onClick=${() => pick(x.goal)}>${words[x.goal]}</button>`)}</div>
  <div class="card"><svg class="axis choice" viewBox="0 0 320 130" role="img" aria-label=${`${p.pareto.length} ladders that nothing else beats, by time and by depth taken off`}><path class="grid" d="M20 5V108H312" fill="none"/><text x="312" y="124" text-anchor="end">more time \u2192</text><text x="312" y="14" text-anchor="end">up: more taken off</text>
   ${p.pareto.map((q) => html`<circle cx=${26 + 278 * X(q.time_s, "time_s")} cy=${100 - 88 * X(q.remove_um, "remove_um")} r="4" class="soft"/>`)}<circle cx=${26 + 278 * X(l.time_s.p50, "time_s")} cy=${100 - 88 * X(l.remove_um.p50, "remove_um")} r="9" class="fill ink" stroke-width="2.5"/></svg>
  <label>Drag from little taken off to much<input type="range" min="0" max=${by.length - 1} value=${at} aria-valuetext=${`${depth(l.remove_um.p50)} off, ${time(l.time_s.p50)}`} onInput=${(e) => pick(by[e.target.value].goal)}/></label></div></section>`;
}
export function Face({ q, go }) {
  const { f, p, e } = usePlan(q), [far, setFar] = useState(null);
  useEffect(() => { const on = (ev) => setFar(ev.detail); addEventListener("work", on); return () => removeEventListener("work", on); }, []);
  if (!f) return html`<h1>No such face</h1><p>It was renamed or taken out. <a href="#/job">To the job</a></p>`;
  if (e) return html`<h1>${q}</h1><p class="warn" role="alert">${e}</p><div class="row"><a class="button" href="#/new">Answer again</a><a class="button" href="#/job">To the job</a></div>`;
  if (!p) return html`<h1>${q}</h1><p role="status">Working out the ladder\u2026</p>${far && html`<button onClick=${() => ask(`/api/cancel?work=${far.work}`, {}).catch(() => {})}>Leave off</button>`}`;
  const out = html`<div class="row"><button onClick=${() => { edit((j) => { j.faces = j.faces.filter((x) => x.name !== q); }); go("job"); }}>Take this face out</button><a class="button" href="#/job">To the job</a></div>`;
  if (!p.feasible) return html`<h1>${q}</h1><p class="answer">${p.leave_alone ? "Leave it alone" : "It cannot be done so"}</p><p class="warn">${p.why_not}</p><p>${p.would_help}</p>${out}<${Cautions} list=${p.cautions} deference=""/>`;
  const l = chosen(q, p), max = Math.max(...l.steps.map((s) => s.time_s.p90));
  return html`<h1>${q}</h1><p class="answer">${sentence(l.goal === "usual" ? p.answer : `start with ${label(l.steps[0])}, about ${time(l.time_s.p50)}`)}</p><p class="proof">${p.proof.replace(/^done when: /, "")}</p>
  <div class="row"><a class="button main grow" href=${`#/bench/${url(q)}/1`}>Go to the bench</a><a class="button grow" href=${`#/card/${url(q)}`}>The card</a><a class="button grow" href=${`#/recover/${url(q)}`}>I found a line</a></div>
  <ol style="list-style:none;padding:0" aria-label="The ladder, coarsest first">${l.steps.map((s, i) => html`<${Step} s=${s} i=${i + 1} max=${max} prev=${l.steps[i - 1]}/>`)}</ol>
  <div class="card facts"><span>in all <b>${spread(l.time_s)}</b></span>${l.elapsed_s.p50 > l.time_s.p50 + 60 && html`<span>with waiting <b>${time(l.elapsed_s.p50)}</b></span>`}<span>takes off <b>${depth(l.remove_um.p50)}</b>${likeness(l.remove_um.p50)}</span><span>costs about <b>${money(l.cost_minor.p50, store.job.currency)}</b></span></div>
  <p class="small">Rests on: ${l.mark}. ${(l.notes ?? []).join("; ")}.</p>
  <${Choice} p=${p} l=${l} pick=${(g) => edit((j, n) => { n[`goal:${q}`] = g; })}/>
  <${Cautions} list=${p.cautions} deference="Local law, the codes in force and licensed people come first."/>${out}`;
}
export function Card({ q }) {
  const [pic, setPic] = useState(null), [e, setE] = useState(null), [paper, setPaper] = useState(settings.paper);
  const job = q ? { ...store.job, faces: store.job.faces.filter((f) => f.name === q) } : store.job, body = JSON.stringify(job);
  const to = (format) => `/api/card?format=${format}&paper=${paper}&units=${settings.units}`;
  useEffect(() => { let u; setPic(null); setE(null);
    if (job.faces.length) ask(to("svg"), job, "blob").then((b) => { u = URL.createObjectURL(b); setPic(u); }, (x) => setE(x.message));
    return () => u && URL.revokeObjectURL(u); }, [body, paper]);
  const print = async () => { try { const a = document.createElement("a"); a.href = URL.createObjectURL(await ask(to("pdf"), job, "blob")); a.download = `${(q || job.name).replace(/\W+/g, "-")}.pdf`; a.click(); } catch (x) { setE(x.message); } };
  return html`<h1>Job card</h1>${!job.faces.length ? html`<p>Nothing to print yet. <a href="#/new">Five questions to a ladder</a></p>` : html`
  <div class="row"><label class="grow">Paper<select value=${paper} onChange=${(x) => { settings.paper = x.target.value; keep("levigate-settings", settings); setPaper(x.target.value); }}>${["A4", "A5", "Letter"].map((x) => html`<option>${x}</option>`)}</select></label><button class="main grow" onClick=${print}>PDF to print</button></div>
  <p class="small">The card prints the usual ladder of each face, whatever was chosen on screen.</p>
  ${e && html`<p class="warn" role="alert">${e}</p>`}${pic ? html`<img class="paper" alt=${`Card of ${job.faces.map((f) => f.name).join(", ")}; the ladder screen says the same in text`} src=${pic}/>` : !e && html`<p role="status">Drawing the card\u2026</p>`}`}`;
}
export function Recover({ q, step }) {
  const [a, set] = useState({ face: q ?? store.job.faces[0]?.name, after: step || "1", many: false, felt: "nail" }), [r, setR] = useState(null), [e, setE] = useState(null), [w, setW] = useState(null);
  useEffect(() => { once("/api/words").then(setW, (x) => setE(x.message)); }, []);
  const { p } = usePlan(a.face);
  if (!store.job.faces.length) return html`<h1>A line found late</h1><p class="answer">Seldom start again: go back to the grit that made it.</p><p class="proof">One line alone across all others is a stray grain; a set in one direction was left too soon.</p><p><a class="button" href="#/new">Tell me the face, and I work out the way back</a></p>`;
  const find = () => { setR(null); setE(null); const f = store.job.faces.find((x) => x.name === a.face);
    ask(`/api/recover?face=${url(a.face)}&after=${a.after}&felt=${a.felt}${a.many ? "&many=1" : ""}`, { ...store.job, faces: [f] }).then(setR, (x) => setE(x.message)); };
  return html`<h1>A line found late</h1><label>Face<select value=${a.face} onChange=${(x) => set({ ...a, face: x.target.value })}>${store.job.faces.map((f) => html`<option>${f.name}</option>`)}</select></label>
  <label>Found after step<select value=${a.after} onChange=${(x) => set({ ...a, after: x.target.value })}>${(p?.ladders?.[0]?.steps ?? [{ label: "1" }]).map((s, i) => html`<option value=${i + 1}>${i + 1}. ${label(s)}</option>`)}</select></label>
  <div class="row" role="group" aria-label="One or many"><button aria-pressed=${!a.many ? "true" : "false"} class=${!a.many ? "main" : ""} onClick=${() => set({ ...a, many: false })}>One line alone</button><button aria-pressed=${a.many ? "true" : "false"} class=${a.many ? "main" : ""} onClick=${() => set({ ...a, many: true })}>Many, one direction</button></div>
  <label>How is it felt or seen?<select value=${a.felt} onChange=${(x) => set({ ...a, felt: x.target.value })}>${(w?.felt ?? []).map((f) => html`<option value=${f.id}>${f.words}</option>`)}</select></label>
  <button class="main" onClick=${find}>The way back</button>${e && html`<p class="warn" role="alert">${e}</p>`}
  ${r && html`<section aria-live="polite"><p class="answer">Back to step ${r.back_to_step}, ${r.mode === "spot" ? `a ${Math.round(r.spot_mm)} mm spot` : "the whole face"}</p><p>${r.because}.</p>${r.cause === "stray-grain" && html`<p class="gate">Wash everything down first: cloth, bench, hands, water.</p>`}<ol style="list-style:none;padding:0">${r.ladder.steps.map((s, i) => html`<${Step} s=${s} i=${i + 1} max=${Math.max(...r.ladder.steps.map((x) => x.time_s.p90))}/>`)}</ol></section>`}`;
}
