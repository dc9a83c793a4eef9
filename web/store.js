// SPDX-License-Identifier: GPL-3.0-or-later
// The draft of the job: kept in this browser after every edit, undone step by step, and
// never overwritten silently when another tab has changed it.
import { read, keep, id, ask, settings } from "./base.js";

const KEY = "levigate-draft";
const UNDO_MOST = 50;
const me = id();
const empty = () => ({
  levigate: 1,
  name: "my job",
  currency: "EUR",
  labour_minor_per_h: Math.round(settings.labour * 100),
  faces: [],
});

// v counts edits; by names the tab that made the last one; notes are the page's own:
// the ladder chosen for a face, what was done at the bench.
let now = read(KEY, { v: 0, by: me, job: empty(), notes: {} });
let past = [];
let ahead = [];
const listeners = new Set();
const changed = () => listeners.forEach((f) => f());
const snapshot = () => ({ job: now.job, notes: now.notes ?? {} });

export const store = {
  theirs: null, // what another tab made of it meanwhile
  unkept: false, // this browser keeps nothing
  get job() {
    return now.job;
  },
  get notes() {
    return now.notes ?? {};
  },
  get canUndo() {
    return past.length > 0;
  },
  get canRedo() {
    return ahead.length > 0;
  },
  listen(f) {
    listeners.add(f);
    return () => listeners.delete(f);
  },
};

function save(next) {
  now = { ...next, v: now.v + 1, by: me };
  store.unkept = !keep(KEY, now);
  changed();
}

/** Change the job (and the notes) in place; the state before can be had back. */
export function edit(change) {
  const next = structuredClone(snapshot());
  change(next.job, next.notes);
  past = [...past, snapshot()].slice(-UNDO_MOST);
  ahead = [];
  save(next);
}

export function undo() {
  if (!past.length) return;
  ahead.push(snapshot());
  save(past.pop());
}

export function redo() {
  if (!ahead.length) return;
  past.push(snapshot());
  save(ahead.pop());
}

/** Put a whole job in the place of this one. */
export const replaceJob = (job, notes = {}) =>
  edit((j, n) => {
    for (const k of Object.keys(j)) delete j[k];
    for (const k of Object.keys(n)) delete n[k];
    Object.assign(j, job);
    Object.assign(n, notes);
  });
export const fresh = () => replaceJob(empty());

addEventListener("storage", (e) => {
  if (e.key !== KEY || !e.newValue) return;
  const other = JSON.parse(e.newValue);
  if (other.by === me) return;
  if (past.length) store.theirs = other;
  else now = other;
  changed();
});

/** After two tabs changed it: theirs or mine; the other one can be had back by undo. */
export function settle(takeTheirs) {
  const theirs = store.theirs;
  store.theirs = null;
  past.push(takeTheirs ? snapshot() : { job: theirs.job, notes: theirs.notes ?? {} });
  const next = takeTheirs ? { job: theirs.job, notes: theirs.notes ?? {} } : snapshot();
  now = { ...next, v: Math.max(now.v, theirs.v) };
  save(next);
}

// ---- ladders: one a face, so that an edit of one face leaves the others' standing ----

const plans = new Map();
const running = new Map();
const face = (name) => now.job.faces.find((f) => f.name === name);

/** What a face's ladder depends on; the job's name is not part of it. */
export const planKey = (f) => JSON.stringify({ ...now.job, name: "job", faces: [f] });

export function planNow(name) {
  const f = face(name);
  return f && plans.get(planKey(f));
}

/** The plan of a face, asked once; {work} names it while it is being made. */
export function plan(name) {
  const key = planKey(face(name));
  if (plans.has(key)) return Promise.resolve(plans.get(key));
  if (!running.has(key)) {
    const work = id();
    const asked = ask(`/api/plan?work=${work}`, JSON.parse(key))
      .then((r) => {
        plans.set(key, r.faces[0]);
        return r.faces[0];
      })
      .finally(() => running.delete(key));
    asked.work = work;
    running.set(key, asked);
  }
  return running.get(key);
}
export const planWork = (name) => running.get(planKey(face(name)))?.work;
