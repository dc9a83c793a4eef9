// SPDX-License-Identifier: GPL-3.0-or-later
// The draft of the job: kept in this browser after every edit, undone step by step, and
// never overwritten silently when another tab or device has changed it.
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
// the ladder chosen for a face, what was done at the bench; shop is where it is kept for
// all devices: {name, version}, absent while it is only here.
let now = read(KEY, { v: 0, by: me, job: empty(), notes: {} });
let past = [];
let ahead = [];
const listeners = new Set();
const changed = () => listeners.forEach((f) => f());
const snapshot = () => ({ job: now.job, notes: now.notes ?? {} });

export const store = {
  theirs: null, // what another tab or device made of it meanwhile
  unkept: false, // this browser keeps nothing
  get job() {
    return now.job;
  },
  get notes() {
    return now.notes ?? {};
  },
  get shop() {
    return now.shop;
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

let afterSave = () => {};
/** Called after each edit with whether the job itself changed (sync.js). */
export const onSave = (f) => {
  afterSave = f;
};

function save(next) {
  const jobChanged = next.job !== now.job;
  now = { shop: now.shop, ...next, v: now.v + 1, by: me };
  store.unkept = !keep(KEY, now);
  afterSave(jobChanged);
  changed();
}

/** Note where in the shop this job is kept; null: nowhere. Not an edit. */
export function setShop(shop) {
  now = { ...now, shop: shop ?? undefined };
  keep(KEY, now);
  changed();
}
export const redraw = changed;

/** Change the job (and the notes) in place; the state before can be had back. `also` is
 * called when it is undone: for what was done outside of this page. */
export function edit(change, also) {
  const next = structuredClone(snapshot());
  change(next.job, next.notes);
  if (JSON.stringify(next.job) === JSON.stringify(now.job)) next.job = now.job;
  past = [...past, { ...snapshot(), also }].slice(-UNDO_MOST);
  ahead = [];
  save(next);
}

export function undo() {
  if (!past.length) return;
  const { also, ...before } = past.pop();
  if (also) also();
  else ahead.push(snapshot());
  save(before);
}

export function redo() {
  if (!ahead.length) return;
  past.push(snapshot());
  save(ahead.pop());
}

/** Put a whole job in the place of this one; `shop` is where it is kept, if anywhere. */
export function replaceJob(job, notes = {}, shop = undefined) {
  past = [...past, snapshot()].slice(-UNDO_MOST);
  ahead = [];
  now = { ...now, shop };
  save({ job: { ...job }, notes, shop });
}
export const fresh = () => replaceJob(empty());

addEventListener("storage", (e) => {
  if (e.key !== KEY || !e.newValue) return;
  const other = JSON.parse(e.newValue);
  if (other.by === me) return;
  if (past.length) store.theirs = other;
  else now = other;
  changed();
});

/** After two changed it: theirs or mine; the other one can be had back by undo. */
export function settle(takeTheirs) {
  const theirs = store.theirs;
  const other = { job: theirs.job, notes: theirs.notes ?? now.notes ?? {} };
  const mine = snapshot();
  store.theirs = null;
  past.push(takeTheirs ? mine : other);
  now = { ...now, shop: theirs.shop ?? now.shop, v: Math.max(now.v, theirs.v ?? 0) };
  save(takeTheirs ? other : { ...mine, job: { ...mine.job } });
}

// ---- ladders: one a face, so that an edit of one face leaves the others' standing ----

const plans = new Map();
const running = new Map();
const explained = new Map();
const face = (name) => now.job.faces.find((f) => f.name === name);

/** Where a ladder is planned from: the shop's drawer and what its log has taught. */
export function planQuery() {
  const q = new URLSearchParams();
  if (settings.drawer === "drawer") q.set("drawer", "1");
  if (now.shop) q.set("log", "1");
  if (now.shop && settings.who) q.set("who", settings.who);
  return q.size ? `&${q}` : "";
}

/** The ladders that were chosen, as the address names them; usual ones go unsaid. */
export function goalQuery(faces = now.job.faces) {
  const picked = faces
    .map((f) => [f.name, store.notes[`goal:${f.name}`]])
    .filter(([name, goal]) => goal && goal !== "usual" && hasLadder(name, goal));
  return picked.length ? `&goal=${encodeURIComponent(picked.map((x) => x.join("=")).join(","))}` : "";
}

// A face that was changed since may have it no more.
function hasLadder(name, goal) {
  const p = planNow(name);
  return !p || [...p.ladders, ...(p.choices ?? [])].some((l) => l.goal === goal);
}

/** The same ladder with what leaving each step out costs: worked out when it is asked. */
export async function explain(name, goal) {
  const [job, query] = JSON.parse(planKey(face(name)));
  const key = JSON.stringify([job, query, name, goal]);
  if (!explained.has(key)) {
    const q = `&goal=${encodeURIComponent(`${name}=${goal}`)}`;
    explained.set(key, ask(`/api/plan?work=${id()}${query}${q}`, job));
  }
  const r = await explained.get(key);
  const p = r.faces.find((x) => x.name === name);
  return [...p.ladders, ...p.choices].find((l) => l.goal === goal);
}

/** What a face's ladder and its cautions depend on. Faces share the drawer, so from there
 * they are planned together. */
export function planKey(f) {
  const faces = settings.drawer === "drawer" ? now.job.faces : [f];
  return JSON.stringify([{ ...now.job, faces }, planQuery()]);
}

export function planNow(name) {
  const f = face(name);
  return f && plans.get(planKey(f))?.find((x) => x.name === name);
}

/** The plan of a face, asked once. */
export async function plan(name) {
  const key = planKey(face(name));
  if (!plans.has(key) && !running.has(key)) {
    const work = id();
    const [job, query] = JSON.parse(key);
    const asked = ask(`/api/plan?work=${work}${query}`, job)
      .then((r) => plans.set(key, r.faces))
      .finally(() => running.delete(key));
    asked.work = work;
    running.set(key, asked);
  }
  await running.get(key);
  return plans.get(key).find((x) => x.name === name);
}
export const planWork = (name) => running.get(planKey(face(name)))?.work;

/** What else is worked out along the ladder chosen for a face: the job to send, and the
 * end of the address. */
export function alongLadder(name) {
  const [job, query] = JSON.parse(planKey(face(name)));
  return [job, query + goalQuery(job.faces)];
}
/** The log or the drawer changed: what rests on them is planned anew. */
export function forgetPlans() {
  for (const key of [...plans.keys()]) if (JSON.parse(key)[1]) plans.delete(key);
}
