// SPDX-License-Identifier: GPL-3.0-or-later
// Checks at the bench, faults by their sign, cautions, settings, keys.
import { html, useState, useWords, useAnswer, wait, saveAs, Choose, Pick } from "./base.js";
import { settings, applySettings, number } from "./base.js";
import { Cautions } from "./ladder.js";
import { language, setLanguage, useLanguage, blankFile, LANGUAGES } from "./words.js";

const WHEN = [
  ["start", "Before you start"],
  ["during", "While you rub"],
  ["change", "At each change of grit"],
  ["gate", "Before the fine grits"],
  ["end", "At the end"],
];

export function Checks() {
  const w = useWords();
  const group = ([step, title]) =>
    html`<h2>${title}</h2>
      <ul>
        ${w.r.prompts
          .filter((p) => p.step === step)
          .map((p) => html`<li><p>${p.words}</p></li>`)}
      </ul>`;
  return html`<h1>Is it done?</h1>
    <p class="answer">Done when no old line is left under a low lamp.</p>
    <div class="row">
      <a class="button" href="#/faults">Something looks wrong</a>
      <a class="button" href="#/readings">I have a reading</a>
      <a class="button" href="#/exercises">Exercises for learners</a>
    </div>
    ${w.r ? WHEN.map(group) : wait(w)}`;
}

export function Faults() {
  const w = useWords();
  const fault = (f) => html`<details class="q">
    <summary>${f.sign}</summary>
    <div>
      <p class="answer">${f.action}</p>
      <p>Likely: ${f.cause}.</p>
    </div>
  </details>`;
  return html`<h1>What do you see?</h1>
    ${w.r ? html`<div class="list two">${w.r.faults.map(fault)}</div>` : wait(w)}`;
}

const WORK = [
  ["", "anything"],
  ["metal", "metal"],
  ["steel", "steel"],
  ["stainless", "stainless steel"],
  ["aluminium", "aluminium"],
  ["wood", "wood"],
  ["c_lead", "old paint"],
  ["stone", "stone"],
  ["polymer", "plastic"],
];
const NEXT = ["none", "oil", "wax", "lacquer", "paint", "stain", "plate", "adhesive"];

export function Safety() {
  const w = useWords();
  const [material, setMaterial] = useState("");
  const [drive, setDrive] = useState("");
  const [next, setNext] = useState("none");
  const q = new URLSearchParams();
  if (material) q.set("material", material);
  if (drive) q.set("drive", drive);
  if (next !== "none") q.set("next", next);
  const { r, e } = useAnswer(`/api/safety?${q}`);
  const drives = (w.r?.drives ?? []).map((x) => [x.id, x.words]);
  return html`<h1>Safety</h1>
    <p>Danger first. Say what you do, and the list fits it.</p>
    <div class="row">
      <div class="grow">
        <${Choose} label="Work on" value=${material} list=${WORK} pick=${setMaterial} />
      </div>
      <div class="grow">
        <${Choose}
          label="With"
          value=${drive}
          list=${[["", "by hand or machine"], ...drives]}
          pick=${setDrive}
        />
      </div>
      <div class="grow">
        <${Choose}
          label="Afterwards"
          value=${next}
          list=${NEXT.map((n) => [n, n])}
          pick=${setNext}
        />
      </div>
    </div>
    <div aria-live="polite">
      ${e && html`<p class="warn" role="alert">${e}</p>`}
      ${r && html`<${Cautions} list=${r.cautions} deference=${r.deference} />`}
    </div>`;
}

// ---- settings ----

const GROUPS = [
  ["Lengths and depths", "units", ["metric", "Metric"], ["inch", "Inch"]],
  ["Screen", "look", ["auto", "As the device"], ["light", "Light"], ["dark", "Dark"]],
  ["Hand", "hand", ["usual", "Bare fingers"], ["large", "Gloves or knuckle"]],
  ["Paper", "paper", ["A4", "A4"], ["A5", "A5"], ["Letter", "Letter"]],
];

function Language() {
  const [e, setE] = useState("");
  const take = async (x) => {
    try {
      setLanguage(await x.target.files[0].text());
      location.reload();
    } catch (wrong) {
      setE(`That is no language file: ${wrong.message}`);
    }
  };
  const give = () => {
    const text = JSON.stringify(blankFile(), null, 1);
    saveAs(new Blob([text], { type: "application/json" }), "levigate-language.json");
  };
  const choose = (lang) =>
    useLanguage(lang, document.body.dataset.version).then(
      () => location.reload(),
      (wrong) => setE(wrong.message),
    );
  return html`<h2>Language</h2>
    <${Pick} label="Language" value=${language()} list=${LANGUAGES} pick=${choose} />
    <div class="row">
      <label class="button">
        Open a language file
        <input class="hidden" type="file" accept=".json,application/json" onChange=${take} />
      </label>
      <button onClick=${give}>Save the sentences to translate</button>
    </div>
    ${e && html`<p class="warn" role="alert">${e}</p>`}`;
}

export function Settings() {
  const [, again] = useState(0);
  const set = (k, v) => {
    settings[k] = v;
    applySettings();
    again((x) => x + 1);
  };
  const labour = (x) => {
    const n = number(x.target.value);
    if (n !== null && n >= 0) set("labour", n);
  };
  return html`<h1>Settings</h1>
    ${GROUPS.map(
      ([title, k, ...list]) =>
        html`<h2>${title}</h2>
          <${Pick} label=${title} value=${settings[k]} list=${list} pick=${(v) => set(k, v)} />`,
    )}
    <h2>The shop</h2>
    <div class="row">
      <label class="grow">
        An hour of work costs
        <input inputmode="decimal" value=${settings.labour} onChange=${labour} />
      </label>
      <label class="grow">
        Who works here (initials, or the bench)
        <input
          value=${settings.who}
          maxlength="20"
          onChange=${(x) => set("who", x.target.value.trim())}
        />
      </label>
    </div>
    <${Language} />
    <h2>This page</h2>
    <p>
      <a href="#/keys">Keys</a>, ${" "}
      <a href="/web/vendor/LICENSE.txt">licences of what it is made with</a>, ${" "}
      <a href="/plain/plan">without scripting</a>.
    </p>
    <p class="small">Settings and the draft of the job stay in this browser.</p>`;
}

const KEYS = [
  ["?", "this list"],
  ["h", "questions"],
  ["n", "new face"],
  ["j", "the job"],
  ["g", "grits"],
  ["c", "job card"],
  ["q", "quote"],
  ["r", "readings"],
  ["x", "exercises"],
  ["k", "the shop's jobs"],
  ["d", "the drawer"],
  ["l", "the log"],
  ["s", "safety"],
  ["Ctrl Z", "undo"],
  ["Ctrl Shift Z", "redo"],
  ["Esc", "back from here, close the bench"],
  ["Tab, Enter, Space", "move and press"],
];

export function Keys() {
  return html`<h1>Keys</h1>
    <table>
      <tbody>
        ${KEYS.map(
          ([k, t]) => html`<tr>
            <th scope="row"><kbd>${k}</kbd></th>
            <td>${t}</td>
          </tr>`,
        )}
      </tbody>
    </table>`;
}
