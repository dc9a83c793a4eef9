// SPDX-License-Identifier: GPL-3.0-or-later
// Which screen stands where, and what is the same on all: top bar, notices, keys.
import { html, render, useState, useEffect, applySettings, whenReach } from "./base.js";
import { store, undo, redo, settle } from "./store.js";
import { Grits, Wall, Unmarked } from "./grits.js";
import { Guide } from "./guide.js";
import { Job, Face, Card, Recover } from "./job.js";
import { Bench } from "./bench.js";
import { Checks, Faults, Safety, Settings, Keys, Readings } from "./help.js";
const screens = { grits: Grits, wall: Wall, unmarked: Unmarked, new: Guide, job: Job, face: Face, card: Card,
  recover: Recover, bench: Bench, readings: Readings, check: Checks, faults: Faults, safety: Safety, settings: Settings, keys: Keys };
const titles = { grits: "Grits", wall: "Grits on the wall", unmarked: "Nothing on the back", new: "New face", job: "The job", face: "Ladder", card: "Job card", recover: "A line found late", bench: "At the bench", readings: "Readings", check: "Checks", faults: "Something looks wrong", safety: "Safety", settings: "Settings", keys: "Keys" };
export const go = (to) => { location.hash = `#/${to}`; };
const home = document.getElementById("home"), view = document.getElementById("view"), over = document.getElementById("over");
let reach = true, ledBack;
whenReach((ok) => { if (ok !== reach) { reach = ok; draw(); } });
addEventListener("offline", () => { reach = false; draw(); });
addEventListener("online", () => { reach = true; draw(); });
const where = () => location.hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
const mark = html`<svg viewBox="0 0 64 64" aria-hidden="true"><g class="ink" stroke-linecap="round"><path stroke-width="8" d="M10 12h44"/><path stroke-width="6" d="M10 27h33"/><path stroke-width="4" d="M10 41h22"/><path stroke-width="2.5" d="M10 53h12"/></g></svg>`;
function Bar({ at }) {
  const tab = (to, text, also = []) => html`<a href=${`#/${to}`} aria-current=${at === to || also.includes(at) ? "page" : undefined}>${text}</a>`;
  return html`${!reach && html`<div class="offline" role="status">The shop PC does not answer. What you see is kept here; new answers wait.</div>`}
  ${store.unkept && html`<div class="offline" role="status">This browser keeps nothing: the draft is gone when the page is closed.</div>`}
  <header class="top"><a class="brand" href="#/">${mark}levigate</a><nav aria-label="Screens">${tab("job", "Job", ["face", "card", "new", "bench", "recover"])}${tab("grits", "Grits", ["unmarked"])}${tab("check", "Checks", ["faults", "readings"])}${tab("safety", "Safety")}${tab("settings", "Settings", ["keys"])}</nav></header>`;
}
function Over() {
  const [until, set] = useState(0);
  useEffect(() => store.listen(() => { set(store.canUndo ? Date.now() + 10000 : 0); }), []);
  useEffect(() => { if (!until) return undefined; const t = setTimeout(() => set(0), until - Date.now()); return () => clearTimeout(t); }, [until]);
  if (store.theirs) return html`<div role="alertdialog" aria-label="Changed in another tab"><span>This job was changed in another tab too.</span><span class="row"><button onClick=${() => settle(true)}>Take the other one</button><button onClick=${() => settle(false)}>Keep mine</button></span></div>`;
  return until > Date.now() && store.canUndo && html`<div role="status"><span>Changed and kept.</span><button onClick=${undo}>Undo</button></div>`;
}
function draw() {
  const [at = "", q, step] = where();
  const Screen = screens[at];
  render(html`<${Bar} at=${at}/>`, document.getElementById("bar"));
  home.hidden = Boolean(Screen); view.hidden = !Screen;
  document.title = Screen ? `${titles[at]} - levigate` : "levigate";
  if (Screen) render(html`<${Screen} key=${at + (at === "face" || at === "bench" ? q : "")} q=${q} step=${step} go=${go}/>`, view);
  else render(null, view);
}
function enrichHome() {
  const start = document.createElement("div");
  home.insertBefore(start, home.firstChild);
  render(html`<div class="row"><a class="button main grow" href="#/new">Work out a ladder</a><a class="button grow" href="#/grits">What is this grit?</a><a class="button grow" href="#/faults">Something looks wrong</a></div>`, start);
  const words = { new: "Work it out for my piece", grits: "Look a grit up", unmarked: "Narrow it by tests", check: "All the checks", faults: "Find the fault", recover: "The way back", safety: "Cautions for my work" };
  for (const q of home.querySelectorAll("details.q")) {
    const a = document.createElement("a");
    a.className = "button"; a.href = `#/${q.dataset.to}`; a.textContent = words[q.dataset.to];
    q.querySelector("div").append(a);
  }
}
addEventListener("hashchange", () => { draw(); scrollTo(0, 0); (home.hidden ? view : home.querySelector("h1")).focus({ preventScroll: true }); });
addEventListener("keydown", (e) => {
  const typing = /INPUT|SELECT|TEXTAREA/.test(e.target.tagName);
  if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "z" && !typing) { e.preventDefault(); (e.shiftKey ? redo : undo)(); return; }
  if (typing || e.ctrlKey || e.metaKey || e.altKey) return;
  const to = { "?": "keys", j: "job", g: "grits", n: "new", h: "", s: "safety", c: "card" }[e.key];
  if (to !== undefined) { ledBack = location.hash; go(to); }
  if (e.key === "Escape") { if (ledBack !== undefined && where()[0] === "keys") location.hash = ledBack || "#/"; else if (where()[0] === "bench") go(`face/${encodeURIComponent(where()[1])}`); }
});
function listen() {
  const news = new EventSource("/api/events");
  const channel = "BroadcastChannel" in window ? new BroadcastChannel("levigate-news") : null;
  news.onmessage = (e) => { dispatchEvent(new CustomEvent("work", { detail: JSON.parse(e.data) })); channel?.postMessage(e.data); };
  news.onopen = () => { if (!reach) { reach = true; draw(); } fetch("/api/about").then((r) => r.json()).then((a) => { if (a.version !== document.body.dataset.version) location.reload(); }, () => {}); };
  news.onerror = () => { if (reach && navigator.onLine === false) { reach = false; draw(); } };
}
applySettings();
enrichHome();
store.listen(draw);
draw();
render(html`<${Over}/>`, over);
// One stream a browser: the tab that holds the lock listens, the others hear it from there.
if (navigator.locks) { navigator.locks.request("levigate-news", () => { listen(); return new Promise(() => {}); });
  new BroadcastChannel("levigate-news").onmessage = (e) => dispatchEvent(new CustomEvent("work", { detail: JSON.parse(e.data) }));
} else listen();
if (isSecureContext && "serviceWorker" in navigator) navigator.serviceWorker.register("/sw.js").catch(() => {});
