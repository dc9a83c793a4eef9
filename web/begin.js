// SPDX-License-Identifier: GPL-3.0-or-later
// The questions come whole from the server and are painted first; only then the modules
// are fetched, all at once, so that reading them delays no word.
const MODULES = ["vendor/preact-htm", "main", "base", "words", "store", "sync", "draw"];
MODULES.push("ladder", "grits", "guide", "job", "face", "bench", "help");

// A key that is pressed meanwhile is pressed again when somebody listens.
const early = [];
const hold = (e) => e.key.length === 1 && !e.ctrlKey && !e.metaKey && early.push(e.key);
addEventListener("keydown", hold);

// The server went away before the modules came: said above the questions, which stay.
function lost() {
  const p = document.createElement("p");
  p.className = "warn";
  p.setAttribute("role", "alert");
  p.textContent = "The shop PC does not answer. Your draft is kept here.";
  document.querySelector("#view").prepend(p);
  addEventListener("online", () => location.reload(), { once: true });
}

function start() {
  for (const name of MODULES) {
    const link = document.createElement("link");
    link.rel = "modulepreload";
    link.href = `/web/${name}.js`;
    document.head.append(link);
  }
  import("./main.js").then(() => {
    removeEventListener("keydown", hold);
    for (const key of early) document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
  }, lost);
}
if (document.hidden) start();
else requestAnimationFrame(() => setTimeout(start));
