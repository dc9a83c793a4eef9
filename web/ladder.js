// SPDX-License-Identifier: GPL-3.0-or-later
// What screens know about a ladder: its plan, its words, one step as a row.
import { html, useState, useEffect, useRef, ask } from "./base.js";
import { time, spread, depth, likeness, sheets, plain, Reserved } from "./base.js";
import { store, plan, planNow, planKey, explain } from "./store.js";
import { patch } from "./draw.js";

export const url = encodeURIComponent;
const BACKING = {
  glass: "plate of glass",
  hardwood: "hardwood block",
  "hard-felt": "hard felt",
  cork: "cork block",
  foam: "foam pad",
  fingers: "fingers",
};
const PUSH = {
  feather: "feather's touch",
  hand: "weight of the hand",
  normal: "normal push",
  firm: "firm push",
  leaning: "lean on it",
  tool: "weight of the tool",
};

export const label = (s) => (s.system === "um" && !/um$/.test(s.label) ? `${s.label} \u00b5m` : s.label);
export const backing = (s) => BACKING[s.backing] ?? plain(s.backing || s.drive);
export const push = (s) =>
  `${PUSH[s.push] ?? "push"}, ${Number((s.push_n / 9.81).toPrecision(1))} kg`;
export const round = (s) => s.stroke === "circles" || s.drive === "orbital";

/** An answer of the program, which speaks in capitals, as a sentence. */
export function sentence(text) {
  const s = plain(String(text).toLowerCase());
  return s.charAt(0).toUpperCase() + s.slice(1).replace(/\bp(\d+)/g, "P$1");
}

/** How far a work of the server is, by its name: {done, of, begun?, s: seconds so far}. */
export function useProgress(work) {
  const [far, set] = useState({ s: 0 });
  useEffect(() => {
    if (!work) return undefined;
    const start = Date.now();
    const gone = () => Math.round((Date.now() - start) / 1000);
    set({ s: 0 });
    const on = (e) => e.detail.work === work && set({ ...e.detail, s: gone() });
    const tick = setInterval(() => set((x) => ({ ...x, s: gone() })), 1000);
    addEventListener("work", on);
    return () => {
      clearInterval(tick);
      removeEventListener("work", on);
    };
  }, [work]);
  return far;
}

export const leaveOff = (work) => ask(`/api/cancel?work=${work}`, {}).catch(() => {});

/** {f: the face, p: its plan, e: what went wrong, again: ask anew}. */
export function usePlan(name) {
  const [s, set] = useState({});
  const [n, setN] = useState(0);
  const f = store.job.faces.find((x) => x.name === name);
  const key = f && planKey(f);
  useEffect(() => {
    let live = true;
    set({});
    if (f)
      plan(name).then(
        (p) => live && set({ p }),
        (e) => live && set({ e: e.message }),
      );
    return () => {
      live = false;
    };
  }, [key, n]);
  return { f, p: planNow(name) ?? s.p, e: s.e, again: () => setN(n + 1) };
}

/** Every ladder of a face: one a goal, and the others that nothing beats. */
const all = (p) => [...p.ladders, ...(p.choices ?? [])];

/** Ladders that differ, each with all the goals it serves; the usual one first. */
export function different(p) {
  const out = [];
  for (const l of all(p)) {
    const key = JSON.stringify([l.steps.map(label), l.time_s.p50, l.remove_um.p50]);
    const same = out.find((x) => x.key === key);
    if (same) same.goals.push(l.goal);
    else out.push({ key, l, goals: [l.goal] });
  }
  return out;
}

/** The ladder that was picked for a face, else the usual one. */
export function chosen(name, p) {
  const goal = store.notes[`goal:${name}`] ?? "usual";
  return all(p).find((l) => l.goal === goal) ?? p.ladders[0];
}

export function Step({ s, i, max, prev, more }) {
  const pc = (x) => `${Math.min(100, (100 * x) / max)}%`;
  const early = { width: pc(s.time_s.p50) };
  const late = { left: pc(s.time_s.p50), width: pc(s.time_s.p90 - s.time_s.p50) };
  return html`<li class="card step">
    ${patch({
      um: s.d50_um ?? 90,
      deg: s.direction,
      round: round(s),
      old: prev?.direction,
      label: `lines of ${label(s)}`,
    })}
    <div>
      <div class="name">${i}. ${label(s)}</div>
      <div class="facts">
        ${backing(s) && html`<span>${backing(s)}</span>`}
        <span>${push(s)}</span>
        <span>${s.fluid}</span>
      </div>
      <div class="facts">
        <span>look after <b>${time(s.look_s)}</b></span>
        <span>takes off <b>${depth(s.remove_um)}</b>${likeness(s.remove_um)}</span>
        ${s.system && html`<span>${sheets(s.sheets)}</span>`}
      </div>
    </div>
    <div class="whole">
      <div class="bar" role="img" aria-label=${spread(s.time_s)}>
        <i style=${early} />
        <i class="late" style=${late} />
      </div>
      <span class="small">${spread(s.time_s)}</span>
      <p class="proof">${s.check}</p>
      ${s.gate &&
      html`<p class="gate">
        Full check with the lens here. A line found later costs the whole way back.
      </p>`}
      <details class="q" onToggle=${(e) => e.target.open && more?.()}>
        <summary>Why this step, and if it is left out</summary>
        <div>
          <p>${s.why}.</p>
          <p>${s.if_skipped ? `If it is left out: ${s.if_skipped}.` : ""}</p>
          <p>Stop if ${s.stop_if}.</p>
          ${s.notes?.length > 0 && html`<${Reserved} notes=${s.notes} />`}
        </div>
      </details>
    </div>
  </li>`;
}

/** `more` (of a face and goal) fetches what is not known of a ladder at first. */
export function Steps({ steps, label: words, face, goal }) {
  const [known, setKnown] = useState(null);
  const asked = useRef(null);
  const whole = !face || (known !== null && known.goal === goal) || steps.every((s) => s.if_skipped);
  const more = () => {
    if (whole || asked.current === goal) return;
    asked.current = goal;
    explain(face, goal).then(setKnown, () => {
      asked.current = null;
    });
  };
  const better = known !== null && known.goal === goal && known.steps.length === steps.length;
  const list = better ? known.steps : steps;
  const max = Math.max(...list.map((s) => s.time_s.p90));
  return html`<ol class="steps" aria-label=${words ?? "The ladder, coarsest first"}>
    ${list.map(
      (s, i) => html`<${Step} s=${s} i=${i + 1} max=${max} prev=${list[i - 1]} more=${more} />`,
    )}
  </ol>`;
}

export function Cautions({ list, deference }) {
  const [all, set] = useState(false);
  const few = 5;
  const one = (c, i) => html`<p
    class="${c.severity === "danger" ? "warn" : "card"} ${i < few || all ? "" : "on-paper"}"
  >
    <span class="lev">${c.severity}</span>
    ${c.text}
    <br />
    <small>${c.when ? `${c.when}. ` : ""}${c.mark}</small>
  </p>`;
  return html`<section>
    <h2>Before you start</h2>
    ${list.map(one)}
    ${list.length > few &&
    html`<button onClick=${() => set(!all)}>${all ? "Fewer" : `All ${list.length}`}</button>`}
    <p class="small">${deference}</p>
  </section>`;
}
