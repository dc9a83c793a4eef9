// SPDX-License-Identifier: GPL-3.0-or-later
// The job with its faces, and its card.
import { html, useState, useEffect, ask, keep, saveAs, settings, Choose } from "./base.js";
import { time, money } from "./base.js";
import { store, edit, fresh, replaceJob, planQuery, goalQuery } from "./store.js";
import { url, sentence, usePlan, chosen } from "./ladder.js";
import { keepInShop } from "./sync.js";

const PAPERS = ["A4", "A5", "Letter"].map((p) => [p, p]);
const fileName = (s, ending) => `${s.replace(/\W+/g, "-")}.${ending}`;

function Row({ name }) {
  const { p, e } = usePlan(name);
  const l = p?.feasible ? chosen(name, p) : null;
  const says = e || (p ? (l ? sentence(p.answer) : p.why_not) : "Working it out\u2026");
  return html`<a class="card face" href=${`#/face/${url(name)}`}>
    <h2>${name}</h2>
    <p>${says}</p>
    ${l &&
    html`<p class="facts small">
      <span>${l.steps.length} steps</span>
      <span>${time(l.time_s.p50)}</span>
      <span>${money(l.cost_minor.p50, store.job.currency)}</span>
    </p>`}
  </a>`;
}

/** A job file, as it is written here or by hand; the server says what is wrong in it. */
async function readJob(file) {
  const bad = "That file is no job: it should be JSON with faces, as saved here.";
  let job = null;
  try {
    job = JSON.parse(await file.text());
  } catch {
    throw new Error(bad);
  }
  if (!Array.isArray(job?.faces)) throw new Error(bad);
  return job;
}

function Files() {
  const [bad, setBad] = useState("");
  const toShop = () =>
    keepInShop().then(
      () => setBad(""),
      (e) => setBad(e.message),
    );
  const take = async (e) => {
    try {
      replaceJob(await readJob(e.target.files[0]));
      setBad("");
    } catch (x) {
      setBad(x.message);
    }
  };
  const save = () => {
    const text = JSON.stringify(store.job, null, 1);
    saveAs(new Blob([text], { type: "application/json" }), fileName(store.job.name, "json"));
  };
  const n = store.job.faces.length;
  return html`${store.shop &&
    html`<p class="small">
      Kept in the shop as <b>${store.shop.name}</b>, version ${store.shop.version}: every device
      sees it.
    </p>`}
    <div class="row">
      ${n > 0 && !store.shop && html`<button onClick=${toShop}>Keep it in the shop</button>`}
      <a class="button" href="#/shop">Jobs of the shop</a>
      <label class="button">
        Open a saved job
        <input class="hidden" type="file" accept=".json,application/json" onChange=${take} />
      </label>
      ${n > 0 &&
      html`<button onClick=${save}>Save it as a file</button>
        <button onClick=${fresh}>Start afresh</button>`}
    </div>
    ${bad && html`<p class="warn" role="alert">${bad}</p>`}`;
}

export function Job() {
  const n = store.job.faces.length;
  const rename = (e) => {
    const name = e.target.value.trim();
    if (name)
      edit((j) => {
        j.name = name;
      });
  };
  return html`<h1>${n ? "The job" : "No face yet"}</h1>
    ${!n &&
    html`<p>
      Five questions, each with pictures, and you have a ladder of grits and a card to print.
    </p>`}
    ${n > 0 &&
    html`<label for="jn">
      Name of the piece
      <input id="jn" value=${store.job.name} maxlength="40" onChange=${rename} />
    </label>`}
    <div class="list two">
      ${store.job.faces.map((f) => html`<${Row} key=${f.name} name=${f.name} />`)}
    </div>
    <div class="row">
      <a class="button main grow" href="#/new">
        ${n ? "Add a face" : "Five questions to a ladder"}
      </a>
      ${n > 0 &&
      html`<a class="button grow" href="#/card">The job card</a>
        <a class="button grow" href="#/quote">Quote it</a>`}
    </div>
    <${Files} />`;
}

export function Card({ q }) {
  const [pic, setPic] = useState(null);
  const [e, setE] = useState(null);
  const [paper, setPaper] = useState(settings.paper);
  const faces = store.job.faces.filter((f) => !q || f.name === q);
  const job = { ...store.job, faces };
  const to = (format) =>
    `/api/card?format=${format}&paper=${paper}&units=${settings.units}${planQuery()}${goalQuery(faces)}`;
  useEffect(() => {
    let address;
    setPic(null);
    setE(null);
    if (faces.length)
      ask(to("svg"), job, "blob").then(
        (b) => {
          address = URL.createObjectURL(b);
          setPic(address);
        },
        (x) => setE(x.message),
      );
    return () => address && URL.revokeObjectURL(address);
  }, [JSON.stringify(job), paper, goalQuery(faces)]);
  const print = () =>
    ask(to("pdf"), job, "blob").then(
      (b) => saveAs(b, fileName(q || job.name, "pdf")),
      (x) => setE(x.message),
    );
  const choosePaper = (p) => {
    settings.paper = p;
    keep("levigate-settings", settings);
    setPaper(p);
  };
  if (!faces.length)
    return html`<h1>Job card</h1>
      <p>Nothing to print yet.</p>
      <a class="button main" href="#/new">Five questions to a ladder</a>`;
  const names = faces.map((f) => f.name).join(", ");
  const words = `Card of ${names}; the ladder screen says the same in text`;
  return html`<h1>Job card</h1>
    <div class="row">
      <div class="grow"><${Choose} label="Paper" value=${paper} list=${PAPERS} pick=${choosePaper} /></div>
      <button class="main grow" onClick=${print}>PDF to print</button>
    </div>
    <p class="small">The card prints the ladder that was chosen for each face.</p>
    ${e && html`<p class="warn" role="alert">${e}</p>`}
    ${pic
      ? html`<img class="paper" alt=${words} src=${pic} />`
      : !e && html`<p role="status">Drawing the card${"\u2026"}</p>`}`;
}
