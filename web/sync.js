// SPDX-License-Identifier: GPL-3.0-or-later
// The job in the shop's store: kept for all devices, each edit a version there. An edit
// made from a version that is no longer the newest is held back until it is settled.
import { ask, send, settings } from "./base.js";
import { store, setShop, replaceJob, onSave, redraw, forgetPlans, goalQuery } from "./store.js";

const SOON_MS = 1200;
const address = (act, name, more = "") =>
  `/api/job?act=${act}${name ? `&name=${encodeURIComponent(name)}` : ""}${more}`;

let timer = null;
let sending = false;
export const shopState = { says: "", question: null };

function say(text) {
  shopState.says = text;
  redraw();
}

async function newest(name) {
  const r = await ask(address("file", name));
  const { job, number } = r.versions[0];
  return { job, shop: { name, version: number } };
}

async function push() {
  timer = null;
  if (sending || store.theirs || !store.shop) return;
  const { name, version } = store.shop;
  const sent = store.job;
  sending = true;
  try {
    const r = await ask(address("change", name, `&base=${version}&why=page`), sent);
    setShop({ name, version: r.jobs[0].versions });
    say("");
  } catch (e) {
    if (e.status === 409) store.theirs = await newest(name);
    else say(e.message);
  } finally {
    sending = false;
  }
  if (store.job !== sent && store.shop && !store.theirs) soon();
  redraw();
}

function soon() {
  clearTimeout(timer);
  timer = setTimeout(push, SOON_MS);
}
onSave((jobChanged) => {
  if (jobChanged && store.shop) soon();
});

/** Put the job into the shop; throws when its name stands there already. */
export async function keepInShop() {
  const r = await ask(address("add"), store.job);
  setShop({ name: r.jobs[0].name, version: 1 });
}

export async function openFromShop(name) {
  const { job, shop } = await newest(name);
  replaceJob(job, {}, shop);
}

/** Work begins: the plan is frozen, what is done is held against it. */
export async function startWork() {
  if (!store.shop || store.shop.started) return;
  const who = settings.who ? `&who=${encodeURIComponent(settings.who)}` : "";
  const drawer = settings.drawer === "drawer" ? "&drawer=1" : "";
  const show = await ask(address("show", store.shop.name));
  if (show.jobs[0].state === "open")
    await ask(address("start", store.shop.name, `${goalQuery()}${who}${drawer}`), {});
  setShop({ ...store.shop, started: true });
}

/** A photo beside a job of the shop: of a face, with an entry of the log. */
export async function keepPhoto(of, photo) {
  const q = new URLSearchParams({ ...of, name: photo.name });
  await send(`/api/photo?${q}`, photo).catch((e) => say(`The photo is not kept: ${e.message}`));
}

/** One line of the log; an odd one comes back as a question. Tells whether it is kept. */
export async function logLine(entry, photo) {
  try {
    const r = await ask("/api/log", entry);
    say("");
    if (photo) await keepPhoto({ job: entry.job, face: entry.face, entry: r.entry.id }, photo);
    return true;
  } catch (e) {
    if (e.status === 422)
      shopState.question = {
        text: e.message,
        yes: () => logLine({ ...entry, sure: true }, photo),
      };
    else shopState.says = `Not in the shop's log: ${e.message}`;
    redraw();
    return false;
  }
}

export const undoLog = (who) =>
  ask("/api/log", who ? { undo: true, who } : { undo: true }).catch((e) => say(e.message));

// What another device changed.
addEventListener("work", async (e) => {
  const what = e.detail.changed;
  if (!what) return;
  forgetPlans();
  if (what === "job" && store.shop && !sending && !timer) {
    const theirs = await newest(store.shop.name).catch(() => null);
    if (theirs && theirs.shop.version > store.shop.version && !sending && !timer)
      replaceJob(theirs.job, store.notes, { ...store.shop, ...theirs.shop });
  }
  redraw();
});
