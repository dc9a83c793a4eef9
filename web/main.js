// SPDX-License-Identifier: GPL-3.0-or-later
// Which screen stands where, and what is the same on all: top bar, notices, keys.
import { html, render, useState, useEffect, applySettings, whenReach } from "./base.js";
import { store, undo, redo, settle } from "./store.js";
import { shopState } from "./sync.js";
import { applyLanguage, refreshLanguage, say } from "./words.js";
import { Grits, Wall, Unmarked } from "./grits.js";
import { Guide } from "./guide.js";
import { Job, Card } from "./job.js";
import { Face, Recover } from "./face.js";
import { Bench } from "./bench.js";
import { Checks, Faults, Safety, Settings, Keys } from "./help.js";

// Screens few begin with are fetched when the first one stands.
const LATER = {
  shop: () => import("./shop.js"),
  quote: () => import("./quote.js"),
  readings: () => import("./readings.js"),
  learn: () => import("./learn.js"),
};
function later(file, name) {
  return function Later(props) {
    const [Screen, set] = useState(null);
    useEffect(() => {
      LATER[file]().then((m) => set(() => m[name]));
    }, []);
    return Screen
      ? html`<${Screen} ...${props} />`
      : html`<p role="status">One moment${"\u2026"}</p>`;
  };
}

// address: [screen, title, the tab it belongs to, the key that opens it]
const SCREENS = {
  job: [Job, "The job", "job", "j"],
  new: [Guide, "New face", "job", "n"],
  face: [Face, "Ladder", "job"],
  bench: [Bench, "At the bench", "job"],
  card: [Card, "Job card", "job", "c"],
  quote: [later("quote", "Quote"), "Quote", "job", "q"],
  recover: [Recover, "A line found late", "job"],
  grits: [Grits, "Grits", "grits", "g"],
  wall: [Wall, "Grits on the wall", "grits"],
  unmarked: [Unmarked, "Nothing on the back", "grits"],
  check: [Checks, "Checks", "check"],
  faults: [Faults, "Something looks wrong", "check"],
  readings: [later("readings", "Readings"), "Readings", "check", "r"],
  shop: [later("shop", "Shop"), "The shop", "shop", "k"],
  drawer: [later("shop", "Drawer"), "The drawer", "shop", "d"],
  log: [later("shop", "Log"), "The log", "shop", "l"],
  learned: [later("shop", "Learned"), "What the log has taught", "shop"],
  exercises: [later("learn", "Exercises"), "Exercises", "check", "x"],
  exercise: [later("learn", "Exercise"), "Exercise", "check"],
  class: [later("learn", "Class"), "How the class guessed", "check"],
  safety: [Safety, "Safety", "safety", "s"],
  settings: [Settings, "Settings", "settings"],
  keys: [Keys, "Keys", "settings", "?"],
};
const TABS = [
  ["job", "Job"],
  ["grits", "Grits"],
  ["check", "Checks"],
  ["shop", "Shop"],
  ["safety", "Safety"],
  ["settings", "Settings"],
];
const LEADS = {
  new: "Work it out for my piece",
  grits: "Look a grit up",
  unmarked: "Narrow it by tests",
  check: "All the checks",
  faults: "Find the fault",
  recover: "The way back",
  safety: "Cautions for my work",
};

const home = document.getElementById("home");
const view = document.getElementById("view");
const bar = document.getElementById("bar");
const over = document.getElementById("over");
const where = () => location.hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
export const go = (to) => {
  location.hash = `#/${to}`;
};

// ---- the bar, and what lies over the page ----

const MARK = html`<svg viewBox="0 0 64 64" aria-hidden="true">
  <g class="ink" stroke-linecap="round">
    <path stroke-width="8" d="M10 12h44" />
    <path stroke-width="6" d="M10 27h33" />
    <path stroke-width="4" d="M10 41h22" />
    <path stroke-width="2.5" d="M10 53h12" />
  </g>
</svg>`;
let reach = true;

function Bar({ at }) {
  const tab = ([to, text]) => html`<a
    href=${`#/${to}`}
    aria-current=${SCREENS[at]?.[2] === to ? "page" : undefined}
  >
    ${text}
  </a>`;
  return html`${!reach &&
    html`<div class="offline" role="status">
      The shop PC does not answer. What you see is kept here; new answers wait.
    </div>`}
    ${store.unkept &&
    html`<div class="offline" role="status">
      This browser keeps nothing: the draft is gone when the page is closed.
    </div>`}
    ${shopState.says && html`<div class="offline" role="status">${shopState.says}</div>`}
    <header class="top">
      <a class="brand" href="#/">${MARK}<span>levigate</span></a>
      <nav aria-label="Screens">${TABS.map(tab)}</nav>
    </header>`;
}

function Conflict() {
  const where = store.theirs.shop ? "on another device" : "in another tab";
  return html`<div role="alertdialog" aria-label=${`Changed ${where}`}>
    <span>This job was changed ${where} too.</span>
    <span class="row">
      <button onClick=${() => settle(true)}>Take the other one</button>
      <button onClick=${() => settle(false)}>Keep mine</button>
    </span>
  </div>`;
}

// An odd entry of the log is kept when it is meant.
function Question({ ask }) {
  const close = (then) => () => {
    shopState.question = null;
    draw();
    then?.();
  };
  return html`<div role="alertdialog" aria-label="Is that so?">
    <span>${ask.text}</span>
    <span class="row">
      <button onClick=${close(ask.yes)}>Yes, log it</button>
      <button onClick=${close()}>No</button>
    </span>
  </div>`;
}

const UNDO_MS = 10000;

function Over() {
  const [until, set] = useState(0);
  const [, again] = useState(0);
  useEffect(() => {
    let before = store.job;
    let notes = store.notes;
    return store.listen(() => {
      if (store.job !== before || store.notes !== notes)
        set(store.canUndo ? Date.now() + UNDO_MS : 0);
      before = store.job;
      notes = store.notes;
      again((x) => x + 1);
    });
  }, []);
  useEffect(() => {
    if (!until) return undefined;
    const t = setTimeout(() => set(0), until - Date.now());
    return () => clearTimeout(t);
  }, [until]);
  if (store.theirs) return html`<${Conflict} />`;
  if (shopState.question) return html`<${Question} ask=${shopState.question} />`;
  if (until <= Date.now() || !store.canUndo) return null;
  return html`<div role="status">
    <span>Changed and kept.</span>
    <button onClick=${undo}>Undo</button>
  </div>`;
}

// ---- drawing ----

function draw() {
  const [at = "", q, step] = where();
  const [Screen, title] = SCREENS[at] ?? [];
  render(html`<${Bar} at=${at} />`, bar);
  home.hidden = Boolean(Screen);
  view.hidden = !Screen;
  document.title = Screen ? `${say(title)} - levigate` : "levigate";
  const key = at + (["face", "bench", "exercise", "class"].includes(at) ? q : "");
  render(Screen ? html`<${Screen} key=${key} q=${q} step=${step} go=${go} />` : null, view);
}

/** The first screen comes whole from the server; here it gets its ways on. */
function enrichHome() {
  const start = document.createElement("div");
  home.insertBefore(start, home.firstChild);
  render(
    html`<div class="row">
      <a class="button main grow" href="#/new">Work out a ladder</a>
      <a class="button grow" href="#/grits">What is this grit?</a>
      <a class="button grow" href="#/faults">Something looks wrong</a>
    </div>`,
    start,
  );
  for (const q of home.querySelectorAll("details.q")) {
    const a = document.createElement("a");
    a.className = "button";
    a.href = `#/${q.dataset.to}`;
    a.textContent = say(LEADS[q.dataset.to] ?? "");
    q.querySelector("div").append(a);
  }
  const texts = document.createTreeWalker(home, NodeFilter.SHOW_TEXT);
  while (texts.nextNode())
    if (texts.currentNode.parentNode.tagName !== "NOSCRIPT")
      texts.currentNode.data = say(texts.currentNode.data);
}

addEventListener("hashchange", () => {
  draw();
  scrollTo(0, 0);
  (home.hidden ? view : home.querySelector("h1")).focus({ preventScroll: true });
});

// On paper nothing can be opened: everything is.
let opened = [];
addEventListener("beforeprint", () => {
  opened = [...document.querySelectorAll("main:not([hidden]) details:not([open])")];
  for (const d of opened) d.open = true;
});
addEventListener("afterprint", () => {
  for (const d of opened) d.open = false;
});

// ---- keys ----

let ledBack;
const OPENS = { h: "" };
for (const [to, [, , , key]] of Object.entries(SCREENS)) if (key) OPENS[key] = to;

function escape() {
  const [at, q] = where();
  if (at === "keys" && ledBack !== undefined) location.hash = ledBack || "#/";
  else if (at === "bench") go(`face/${encodeURIComponent(q)}`);
  else if (at === "wall") go(`grits/${encodeURIComponent(q)}`);
  else if (at === "class") go(`exercise/${encodeURIComponent(q)}`);
}

addEventListener("keydown", (e) => {
  const typing = /INPUT|SELECT|TEXTAREA/.test(e.target.tagName);
  if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "z" && !typing) {
    e.preventDefault();
    (e.shiftKey ? redo : undo)();
    return;
  }
  if (typing || e.ctrlKey || e.metaKey || e.altKey) return;
  if (e.key === "Escape") escape();
  const to = OPENS[e.key];
  if (to === undefined) return;
  ledBack = location.hash;
  go(to);
});

// ---- news of the server: one stream a browser, the other tabs hear it from there ----

function setReach(on) {
  if (on === reach) return;
  reach = on;
  draw();
}
whenReach(setReach);
addEventListener("offline", () => setReach(false));
addEventListener("online", () => setReach(true));

const hear = (text) => dispatchEvent(new CustomEvent("work", { detail: JSON.parse(text) }));

/** A page of an older program than the server's is loaded anew. */
const sameVersion = () =>
  fetch("/api/about")
    .then((r) => r.json())
    .then(
      (a) => {
        if (a.version !== document.body.dataset.version) location.reload();
      },
      () => {},
    );

function listen(channel) {
  const news = new EventSource("/api/events");
  let failed = 0;
  news.onmessage = (e) => {
    hear(e.data);
    channel?.postMessage(e.data);
  };
  news.onopen = () => {
    failed = 0;
    setReach(true);
    sameVersion();
  };
  news.onerror = () => {
    if (navigator.onLine === false || ++failed > 1) setReach(false);
  };
}

function startNews() {
  if (!navigator.locks || !("BroadcastChannel" in window)) {
    listen(null);
    return;
  }
  const channel = new BroadcastChannel("levigate-news");
  channel.onmessage = (e) => hear(e.data);
  navigator.locks.request("levigate-news", () => {
    listen(channel);
    return new Promise(() => {});
  });
}

applySettings();
applyLanguage();
enrichHome();
store.listen(draw);
draw();
render(html`<${Over} />`, over);
startNews();
refreshLanguage(document.body.dataset.version).then(
  (newer) => newer && location.reload(),
  () => {},
);
(window.requestIdleCallback ?? ((f) => setTimeout(f, 3000)))(() => {
  for (const load of Object.values(LATER)) load().catch(() => {});
});
if (isSecureContext && "serviceWorker" in navigator)
  navigator.serviceWorker.register("/sw.js").catch(() => {});
