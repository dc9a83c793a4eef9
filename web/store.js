// SPDX-License-Identifier: GPL-3.0-or-later
// The draft of the job: kept in this browser after every edit, undone step by step, and
// never overwritten silently when another tab has changed it.
import { read, keep, id, ask, settings } from "./base.js";
const KEY = "levigate-draft", me = id();
const empty = () => ({ levigate: 1, name: "my job", currency: "EUR", labour_minor_per_h: Math.round(settings.labour * 100), faces: [] });
let now = read(KEY, { v: 0, by: me, job: empty(), notes: {} }), past = [], ahead = [];
const listeners = new Set();
export const store = {
  theirs: null,
  get job() { return now.job; },
  get notes() { return now.notes ?? {}; },
  get canUndo() { return past.length > 0; },
  get canRedo() { return ahead.length > 0; },
  listen(f) { listeners.add(f); return () => listeners.delete(f); },
};
const changed = () => listeners.forEach((f) => f());
function save(next) {
  now = { ...next, v: now.v + 1, by: me };
  store.unkept = !keep(KEY, now);
  changed();
}
export function edit(change) {
  const next = structuredClone({ job: now.job, notes: now.notes ?? {} });
  change(next.job, next.notes);
  past.push({ job: now.job, notes: now.notes });
  past = past.slice(-50); ahead = [];
  save(next);
}
export function undo() { if (past.length) { ahead.push({ job: now.job, notes: now.notes }); save(past.pop()); } }
export function redo() { if (ahead.length) { past.push({ job: now.job, notes: now.notes }); save(ahead.pop()); } }
export const fresh = () => edit((job, notes) => { Object.assign(job, empty()); for (const k of Object.keys(notes)) delete notes[k]; });
addEventListener("storage", (e) => {
  if (e.key !== KEY || !e.newValue) return;
  const other = JSON.parse(e.newValue);
  if (other.by === me) return;
  if (past.length) { store.theirs = other; changed(); } else { now = other; changed(); }
});
export function settle(takeTheirs) {
  if (takeTheirs) { past.push({ job: now.job, notes: now.notes }); now = store.theirs; }
  else save({ job: now.job, notes: now.notes });
  now.v = Math.max(now.v, store.theirs.v) + 1;
  store.theirs = null; keep(KEY, { ...now, by: me }); changed();
}
// One plan per face: an edit of one face leaves the others' ladders standing.
const plans = new Map(), running = new Map();
const face = (name) => now.job.faces.find((f) => f.name === name);
const alone = (f) => ({ ...now.job, faces: [f] });
export const planKey = (f) => JSON.stringify(alone(f));
export function planNow(name) { const f = face(name); return f && plans.get(planKey(f)); }
export function plan(name) {
  const f = face(name), key = planKey(f);
  if (!running.has(key)) running.set(key, ask(`/api/plan?work=${id()}`, JSON.parse(key))
    .then((r) => { plans.set(key, r.faces[0]); return r.faces[0]; })
    .finally(() => running.delete(key)));
  return plans.has(key) ? Promise.resolve(plans.get(key)) : running.get(key);
}
