// SPDX-License-Identifier: GPL-3.0-or-later
// A new face in five questions, in the order a finisher thinks.
import { html, useState, useEffect, once, read, keep, number, depth, likeness, plain } from "./base.js";
import { edit, store } from "./store.js";
import { patch, profile } from "./draw.js";
const tints = { brass_260: "#d9b44a", bronze_tin: "#b9793a", cu: "#c9713f", steel_mild: "#8d979d", steel_1095_hard: "#5d6f8c", ss_304: "#b9c2c6", al_6061: "#cfd4d6", iron_grey: "#6d7072", silver_ster: "#e3e3df", nickel_silver: "#cfcab8", w_oak_w: "#c69c63", w_walnut: "#6f4b33", w_beech: "#d9a877", w_pine_ew: "#e6c98a", w_mahog: "#8f4a31", pmma: "#bcd8e0", c_lead: "#7d8f6a" };
const often = [["brass_260", "Brass"], ["bronze_tin", "Bronze"], ["cu", "Copper"], ["steel_mild", "Mild steel"], ["steel_1095_hard", "Hard or blued steel"], ["ss_304", "Stainless"], ["iron_grey", "Cast iron"], ["al_6061", "Aluminium"], ["silver_ster", "Silver"], ["nickel_silver", "Nickel silver"], ["w_walnut", "Walnut"], ["w_oak_w", "Oak"], ["w_beech", "Beech"], ["w_pine_ew", "Pine"], ["w_mahog", "Mahogany"], ["pmma", "Acrylic"], ["c_lead", "Old paint"]];
const swatch = (id) => html`<svg viewBox="0 0 100 60" preserveAspectRatio="xMidYMid slice" aria-hidden="true"><rect width="100" height="60" fill=${tints[id]}/>${id.startsWith("w_") ? html`<g fill="none" stroke="#0006" stroke-width="1.6">${[8, 20, 30, 42, 52].map((y) => html`<path d="M0 ${y}q25 ${y % 5 - 9} 50 0t50 ${y % 7 - 3}"/>`)}</g>` : html`<path d="M-5 52L60-10H84L10 70Z" fill="#fff5"/>`}</svg>`;
const Tile = ({ on, pick, pic, title, sub }) => html`<button class="tile" type="button" aria-pressed=${on ? "true" : "false"} onClick=${pick}>${pic}<span>${title}</span>${sub && html`<small>${sub}</small>`}</button>`;
const nexts = { none: "Nothing", oil: "Oil", wax: "Wax", lacquer: "Lacquer or varnish", paint: "Paint", stain: "Stain", plate: "Plating", adhesive: "Glue" };
const middle = (r) => Math.sqrt(Math.max(r.low_um ?? r.high_um / 4, .1) * (r.high_um ?? r.low_um * 4));
export function Guide({ q, go }) {
  const at = Math.min(5, Math.max(1, Number(q) || 1));
  const [g, setG] = useState(() => read("levigate-guide", { look: "satin", next: "none", drives: [], l: "100", w: "50", shape: "flat" }));
  const [w, setW] = useState(null), [all, setAll] = useState([]), [e, setE] = useState(null), [help, setHelp] = useState(false);
  useEffect(() => { once("/api/words").then(setW, (x) => setE(x.message)); once("/api/material").then((m) => setAll(m.materials), (x) => setE(x.message)); }, []);
  useEffect(() => setHelp(false), [at]);
  const set = (more, on) => { const n = { ...g, ...more }; setG(n); keep("levigate-guide", n); if (on) go(`new/${on}`); };
  if (!w) return html`<h1>New face</h1>${e ? html`<p class="warn" role="alert">${e}</p>` : html`<p>One moment.</p>`}`;
  const material = all.find((m) => m.id === g.material), family = material?.family ?? "metal";
  const leave = w.leave_alone.find((r) => g.touch && r.words === g.touch);
  const unknown = (text) => html`<div class="row"><button type="button" class="quiet" aria-expanded=${help} onClick=${() => setHelp(!help)}>I do not know</button></div>${help && html`<div class="card" role="status">${text}</div>`}`;
  const titles = ["What is it, and may it be touched?", "What does it look and feel like now?", "What should it look like?", "What goes on afterwards?", "How big, and what have you got?"];
  const done = [g.material && g.touch !== undefined && !leave, g.start, g.look, g.next, true][at - 1];
  const steps = {
    1: () => html`<div class="tiles">${often.map(([id, n]) => html`<${Tile} on=${g.material === id} pick=${() => set({ material: id })} pic=${swatch(id)} title=${n}/>`)}</div>
      <label for="mat">Or another<select id="mat" value=${g.material ?? ""} onChange=${(x) => set({ material: x.target.value })}><option value="">choose</option>${all.map((m) => html`<option value=${m.id}>${m.name}</option>`)}</select></label>
      ${unknown(html`<h3>Find out at the bench</h3><ul><li>A magnet sticks: steel, iron or nickel. It does not: brass, bronze, copper, aluminium, most stainless.</li><li>A good smooth file bites deep: soft. It skates: hardened, take Hard steel.</li><li>Light for its size and white where filed: aluminium. Yellow: brass. Brown-pink: bronze or copper.</li><li>Scrape where it is not seen: another colour beneath means plating. Stop there.</li><li>Wood: a thumbnail dents it deeply, take Pine; hardly, take Beech.</li></ul>`)}
      <h2>Does any of this apply?</h2><div class="row">${[["", "None of it"], ...w.leave_alone.filter((r) => r.words).map((r) => [r.words, r.words.split(";")[0]])].map(([v, t]) => html`<button type="button" aria-pressed=${g.touch === v ? "true" : "false"} class=${g.touch === v ? "main" : ""} onClick=${() => set({ touch: v })}>${t}</button>`)}</div>
      ${leave && html`<p class="warn" role="alert"><span class="answer">Leave it alone.</span> ${leave.reason}. Instead: ${leave.instead}.</p>`}`,
    2: () => { const rows = w.processes.filter((p) => p.family === (["metal", "wood", "polymer"].includes(family) ? family : "metal") && p.process !== "rippled");
      return html`<h2>It was</h2><div class="tiles">${rows.map((p) => html`<${Tile} on=${g.start === `p:${p.process}:${p.words}`} pick=${() => set({ start: `p:${p.process}:${p.words}`, variant: p.variant }, 3)} pic=${profile({ um: middle(p), smooth: p.process === "cast" || p.process === "coat" })} title=${p.words} sub=${`${depth(p.low_um ?? 0)} to ${depth(p.high_um)}`}/>`)}</div>
      <h2>Or judge the worst mark</h2><div class="tiles">${w.felt.map((f) => html`<${Tile} on=${g.start === `d:${f.id}`} pick=${() => set({ start: `d:${f.id}`, um: middle(f), how: f.how }, 3)} pic=${profile({ um: middle(f) })} title=${f.words} sub=${`${depth(middle(f))}${likeness(middle(f))}`}/>`)}</div>
      <h2>Or the last grit used on it</h2><div class="row"><input class="grow" aria-label="Last grit, in the P system" placeholder="P120" value=${g.grit ?? ""} onInput=${(x) => set({ grit: x.target.value, start: x.target.value.trim() ? "g" : undefined })}/></div>
      ${unknown(html`<h3>Ask your fingernail</h3><p>Drag it across the worst mark. It stops dead both ways: choose that. It ticks and goes on: choose that. It feels nothing: try a sharp needle, then your eye, then a low lamp.</p>`)}`; },
    3: () => html`<div class="tiles">${w.looks.filter((l) => l.id !== "lapped").map((l) => html`<${Tile} on=${g.look === l.id} pick=${() => set({ look: l.id }, 4)} title=${l.words} sub=${l.check} pic=${family === "metal" ? html`<img loading="lazy" alt="" src=${`/api/look?material=${g.material}&ra_um=${Number(Math.max(.01, Math.sqrt(Math.max(l.low_um, l.high_um / 4) * l.high_um)).toPrecision(2))}${l.lay === "none" ? "&no_lay=1" : ""}`}/>` : patch({ um: Math.max(.5, l.high_um * 60), round: l.lay === "none" })}/>`)}</div>
      ${family === "metal" && html`<p class="small">The pictures are worked out: a lettered card 50 mm before a face of this metal.</p>`}
      ${unknown(html`<h3>Ask who gets it</h3><p>Make a thumbnail-wide sample of two looks on scrap and have one chosen and signed. Until then: satin hides handling best and costs least.</p>`)}`,
    4: () => html`<div class="tiles">${[...new Set(w.ready.filter((r) => r.family === family).map((r) => r.next).concat("none"))].map((n) => { const r = w.ready.find((x) => x.next === n && x.family === family);
      return html`<${Tile} on=${g.next === n} pick=${() => set({ next: n }, 5)} title=${nexts[n] ?? n} sub=${r?.fine ? `last grit ${r.coarse} to ${r.fine}` : r?.check} pic=${html`<svg viewBox="0 0 100 60" preserveAspectRatio="none" aria-hidden="true"><path d="M0 38l6-3 7 4 8-5 9 5 8-4 9 4 10-5 8 4 9-3 9 4 8-4 9 3V60H0Z" fill="var(--rule)"/>${n !== "none" && html`<path d="M0 ${n === "paint" || n === "plate" ? 22 : 30}H100V38l-9-3-8 4-9-4-9 3-8-4-10 5-9-4-8 4-9-5-8 5-7-4-6 3Z" fill="var(--brass)" opacity=${n === "paint" || n === "plate" ? 1 : .55}/>`}</svg>`}/>`; })}</div>
      ${unknown(html`<p>Leave it at Nothing. The ladder then ends at the look alone. Before any coat: wash, and see that a film of water holds unbroken for 30 seconds.</p>`)}`,
    5: () => html`<div class="row"><label class="grow">Length, mm<input inputmode="decimal" value=${g.l} onInput=${(x) => set({ l: x.target.value })}/></label><label class="grow">Width, mm<input inputmode="decimal" value=${g.w} onInput=${(x) => set({ w: x.target.value })}/></label><label class="grow">Shape<select value=${g.shape} onChange=${(x) => set({ shape: x.target.value })}>${[["flat", "flat"], ["edge", "edge"], ["curved", "bulged"], ["turned", "turned"], ["inside", "inside corner or slot"]].map(([v, t]) => html`<option value=${v}>${t}</option>`)}</select></label></div>
      <label>At most this much may come off, \u00b5m (empty: thick enough)<input inputmode="decimal" value=${g.budget ?? ""} placeholder="veneer: 150" onInput=${(x) => set({ budget: x.target.value })}/></label>
      <h2>What moves the abrasive?</h2><div class="list two">${w.drives.filter((d) => d.families.split(";").includes(family) && d.shapes.split(";").includes(g.shape)).map((d) => html`<label class="tick"><input type="checkbox" checked=${g.drives.includes(d.id)} onChange=${() => set({ drives: g.drives.includes(d.id) ? g.drives.filter((x) => x !== d.id) : [...g.drives, d.id] })}/>${d.words}</label>`)}</div><p class="small">None ticked: the ladder may use any of them, with usual papers at usual prices.</p>
      <label>Call this face<input value=${g.name ?? ""} placeholder="front-plate" maxlength="40" onInput=${(x) => set({ name: x.target.value })}/></label>${e && html`<p class="warn" role="alert">${e}</p>`}` };
  function finish() {
    const L = number(g.l), W = number(g.w), budget = number(g.budget ?? "");
    if (!(L > 0 && W > 0)) { setE("Length and width should be numbers above 0, such as 100 or 12,5."); return; }
    if ((g.budget ?? "").trim() && !(budget > 0)) { setE("How much may come off should be a number above 0, or empty."); return; }
    let name = (g.name || "face").toLowerCase().replace(/[^a-z0-9-]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 36) || "face";
    for (let i = 2, base = name; store.job.faces.some((f) => f.name === name); i++) name = `${base}-${i}`;
    const [kind, process, words] = (g.start ?? "").split(":"), drives = w.drives.filter((d) => g.drives.includes(d.id) && d.families.split(";").includes(family) && d.shapes.split(";").includes(g.shape)).map((d) => d.id);
    const face = { name, material: g.material, shape: g.shape, size_mm: [L, W], start: kind === "p" ? { kind: "process", process } : kind === "d" ? { kind: "depth", depth_um: Number(g.um.toPrecision(3)), how: ["nail", "needle", "eye"].includes(g.how) ? g.how : "guess" } : { kind: "grit", system: "P", label: /^p/i.test(g.grit) ? g.grit.toUpperCase().replace(/\s/g, "") : `P${g.grit.trim()}` }, target: { kind: "look", look: g.look }, next: g.next };
    if (kind === "p" && g.variant !== "usual") face.state = words;
    if (budget) face.budget_um = budget;
    if (drives.length) face.drives = drives;
    edit((job) => { job.faces.push(face); });
    keep("levigate-guide", { look: "satin", next: "none", drives: g.drives, l: "100", w: "50", shape: "flat" });
    go(`face/${encodeURIComponent(name)}`);
  }
  return html`<p class="small">Question ${at} of 5${material && at > 1 ? `: ${plain(material.name)}` : ""}</p><div class="dots" aria-hidden="true">${[1, 2, 3, 4, 5].map((i) => html`<i class=${i <= at ? "on" : ""}/>`)}</div><h1>${titles[at - 1]}</h1>${steps[at]()}
  <div class="row">${at > 1 && html`<a class="button" href=${`#/new/${at - 1}`}>Back</a>`}<button class="main grow" disabled=${!done} onClick=${() => at < 5 ? go(`new/${at + 1}`) : finish()}>${at < 5 ? "Next" : "Work out the ladder"}</button></div>${!done && html`<p class="small">${leave ? "This one is not for abrasives." : at === 1 ? "Choose what it is, and whether anything forbids touching it." : "Choose one to go on."}</p>`}`;
}
