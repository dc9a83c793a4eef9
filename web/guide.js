// SPDX-License-Identifier: GPL-3.0-or-later
// A new face in five questions, in the order a finisher thinks; each can be answered by a
// picture, and each has a way out by a test at the bench.
import { html, useState, useEffect, useAnswer, useWords, wait, once, read, keep } from "./base.js";
import { number, depth, likeness, plain, range, Choose } from "./base.js";
import { lengthUnit, toMm, fromMm, depthUnit, toUm } from "./base.js";
import { edit, store } from "./store.js";
import { patch, profile } from "./draw.js";

const TINTS = {
  brass_260: "#d9b44a",
  bronze_tin: "#b9793a",
  cu: "#c9713f",
  steel_mild: "#8d979d",
  steel_1095_hard: "#5d6f8c",
  ss_304: "#b9c2c6",
  al_6061: "#cfd4d6",
  iron_grey: "#6d7072",
  silver_ster: "#e3e3df",
  nickel_silver: "#cfcab8",
  w_oak_w: "#c69c63",
  w_walnut: "#6f4b33",
  w_beech: "#d9a877",
  w_pine_ew: "#e6c98a",
  w_mahog: "#8f4a31",
  pmma: "#bcd8e0",
  c_lead: "#7d8f6a",
};
const OFTEN = [
  ["brass_260", "Brass"],
  ["bronze_tin", "Bronze"],
  ["cu", "Copper"],
  ["steel_mild", "Mild steel"],
  ["steel_1095_hard", "Hard or blued steel"],
  ["ss_304", "Stainless"],
  ["iron_grey", "Cast iron"],
  ["al_6061", "Aluminium"],
  ["silver_ster", "Silver"],
  ["nickel_silver", "Nickel silver"],
  ["w_walnut", "Walnut"],
  ["w_oak_w", "Oak"],
  ["w_beech", "Beech"],
  ["w_pine_ew", "Pine"],
  ["w_mahog", "Mahogany"],
  ["pmma", "Acrylic"],
  ["c_lead", "Old paint"],
];
// What a magnet, a file and a thumbnail say.
const TESTS = [
  ["Magnet sticks, file bites", "steel_mild"],
  ["Magnet sticks, file skates off", "steel_1095_hard"],
  ["No magnet, yellow", "brass_260"],
  ["No magnet, brown or pink", "bronze_tin"],
  ["No magnet, white and light", "al_6061"],
  ["No magnet, white and heavy", "ss_304"],
  ["Wood, the nail dents it", "w_pine_ew"],
  ["Wood, the nail hardly marks it", "w_beech"],
];
const NEXT = {
  none: "Nothing",
  oil: "Oil",
  wax: "Wax",
  lacquer: "Lacquer or varnish",
  paint: "Paint",
  stain: "Stain",
  plate: "Plating",
  adhesive: "Glue",
};
const SHAPES = [
  ["flat", "flat", "M12 44L34 18H92L70 44Z"],
  ["edge", "edge", "M8 30H92M8 30V40H92V30"],
  ["curved", "bulged", "M8 48Q50 4 92 48Z"],
  ["turned", "turned", "M24 16h52a9 15 0 0 1 0 30H24a9 15 0 0 1 0-30a9 15 0 0 1 0 30"],
  ["inside", "inside corner or slot", "M8 12H40V44H92"],
];
const TITLES = [
  "What is it, and may it be touched?",
  "What does it look and feel like now?",
  "What should it look like?",
  "What goes on afterwards?",
  "How big, and what have you got?",
];
const FRESH = { look: "satin", next: "none", drives: [], l: "", w: "", shape: "flat" };
const KEY = "levigate-guide";

const between = (low, high) => Math.sqrt(Math.max(low, 0.001) * high);
const middle = (r) => between(r.low_um ?? r.high_um / 4, r.high_um ?? r.low_um * 4);

function swatch(id) {
  const grain = html`<g fill="none" stroke="#0006" stroke-width="1.6">
    ${[8, 20, 30, 42, 52].map(
      (y) => html`<path d="M0 ${y}q25 ${(y % 5) - 9} 50 0t50 ${(y % 7) - 3}" />`,
    )}
  </g>`;
  const gleam = html`<path d="M-5 52L60-10H84L10 70Z" fill="#fff5" />`;
  return html`<svg
    viewBox="0 0 100 60"
    preserveAspectRatio="xMidYMid slice"
    aria-hidden="true"
  >
    <rect width="100" height="60" fill=${TINTS[id]} />
    ${id.startsWith("w_") ? grain : gleam}
  </svg>`;
}

// The face cut through, with what lies on it.
function coat(next) {
  const thick = next === "paint" || next === "plate";
  return html`<svg viewBox="0 0 100 60" preserveAspectRatio="none" aria-hidden="true">
    <path
      d="M0 38l6-3 7 4 8-5 9 5 8-4 9 4 10-5 8 4 9-3 9 4 8-4 9 3V60H0Z"
      fill="var(--rule)"
    />
    ${next !== "none" &&
    html`<path
      d="M0 ${thick ? 22 : 30}H100V38l-9-3-8 4-9-4-9 3-8-4-10 5-9-4-8 4-9-5-8 5-7-4-6 3Z"
      fill="var(--brass)"
      opacity=${thick ? 1 : 0.55}
    />`}
  </svg>`;
}

const outline = (d) => html`<svg viewBox="0 0 100 60" aria-hidden="true">
  <path d=${d} class="ink" fill="none" stroke-width="3" stroke-linejoin="round" />
</svg>`;

const Tile = ({ on, pick, pic, title, sub }) => html`<button
  class="tile"
  type="button"
  aria-pressed=${on ? "true" : "false"}
  onClick=${pick}
>
  ${pic}
  <span>${title}</span>
  ${sub && html`<small>${sub}</small>`}
</button>`;

/** A way out: a test at the bench, and what each outcome means as a button. */
function Unknown({ children, takes }) {
  const [open, set] = useState(false);
  return html`<div class="row">
      <button type="button" aria-expanded=${open} onClick=${() => set(!open)}>
        I do not know
      </button>
    </div>
    ${open &&
    html`<div class="card" role="status">
      ${children}
      ${takes &&
      html`<div class="row" role="group" aria-label="What the test says">
        ${takes.map(
          ([words, take]) => html`<button type="button" class="take" onClick=${take}>${words}</button>`,
        )}
      </div>`}
    </div>`}`;
}

// ---- the five questions; each gets {g: given so far, set, w: words, all, family} ----

function What({ g, set, w, all, leave }) {
  const reasons = w.leave_alone.filter((r) => r.words).map((r) => [r.words, r.words.split(";")[0]]);
  return html`<div class="tiles">
      ${OFTEN.map(
        ([id, name]) => html`<${Tile}
          on=${g.material === id}
          pick=${() => set({ material: id })}
          pic=${swatch(id)}
          title=${name}
        />`,
      )}
    </div>
    <${Choose}
      label="Or another"
      value=${g.material ?? ""}
      list=${[["", "choose"], ...all.map((m) => [m.id, m.name])]}
      pick=${(material) => set({ material })}
    />
    <${Unknown} takes=${TESTS.map(([words, id]) => [words, () => set({ material: id })])}>
      <h3>Find out at the bench</h3>
      <ul>
        <li>Hold a magnet to it. Draw a good smooth file over an edge that is not seen.</li>
        <li>Look at the bright spot the file left, and feel its weight.</li>
        <li>Another colour beneath means plating. Stop there.</li>
        <li>Wood: press a thumbnail in.</li>
      </ul>
    </${Unknown}>
    <h2>Does any of this apply?</h2>
    <div class="row" role="group" aria-label="Does any of this apply?">
      ${[["", "None of it"], ...reasons, ["?", "I cannot tell"]].map(
        ([v, t]) => html`<button
          type="button"
          aria-pressed=${g.touch === v ? "true" : "false"}
          class=${g.touch === v ? "main" : ""}
          onClick=${() => set({ touch: v })}
        >
          ${t}
        </button>`,
      )}
    </div>
    ${g.touch === "?" &&
    html`<div class="card" role="status">
      <p>
        Look with a lens for gold, silver or another colour in a worn corner, for a signature, a
        stamp or a date, for an even brown or green skin. Find any of it, or is the piece old and
        not yours: do not rub it before someone who knows has looked.
      </p>
      <p>Nothing of that, and it is yours to change: take None of it.</p>
    </div>`}
    ${leave &&
    html`<p class="warn" role="alert">
      <span class="answer">Leave it alone.</span>${" "}
      ${leave.reason}. Instead: ${leave.instead}.
    </p>`}`;
}

function Now({ g, set, w, family }) {
  const kin = ["metal", "wood", "polymer"].includes(family) ? family : "metal";
  const rows = w.processes.filter((p) => p.family === kin && p.process !== "rippled");
  const made = (p) => html`<${Tile}
    on=${g.start === `p:${p.process}:${p.words}`}
    pick=${() => set({ start: `p:${p.process}:${p.words}`, variant: p.variant }, 3)}
    pic=${profile({ um: middle(p), smooth: p.process === "cast" || p.process === "coat" })}
    title=${p.words}
    sub=${range(depth(p.low_um ?? 0), depth(p.high_um))}
  />`;
  const feel = (f) => () => set({ start: `d:${f.id}`, um: middle(f), how: f.how }, 3);
  const felt = (f) => html`<${Tile}
    on=${g.start === `d:${f.id}`}
    pick=${feel(f)}
    pic=${profile({ um: middle(f) })}
    title=${f.words}
    sub=${`${depth(middle(f))}${likeness(middle(f))}`}
  />`;
  const grit = (x) => {
    const typed = x.target.value;
    set({ grit: typed, start: typed.trim() ? "g" : undefined });
  };
  return html`<h2>It was</h2>
    <div class="tiles">${rows.map(made)}</div>
    <h2>Or judge the worst mark</h2>
    <div class="tiles">${w.felt.map(felt)}</div>
    <h2>Or the last grit used on it</h2>
    <div class="row">
      <input
        class="grow"
        aria-label="Last grit, in the P system"
        placeholder="P120"
        value=${g.grit ?? ""}
        onInput=${grit}
      />
    </div>
    <${Unknown} takes=${w.felt.map((f) => [f.words, feel(f)])}>
      <h3>Ask your fingernail</h3>
      <p>
        Drag it across the worst mark, both ways. It feels nothing: try a sharp needle, then your
        eye, then a low lamp. Which was the first to find it?
      </p>
    </${Unknown}>`;
}

// The look of wood is made by what goes on it: it is left clean for that, or at a grit.
const LAST = [
  ["P120", 106],
  ["P150", 92],
  ["P180", 78],
  ["P240", 58.5],
  ["P320", 46.2],
];
const AS_NEXT = "The last grit follows from what goes on it";
const READY = "Even all over when wiped with spirit";
function looksFor(family, looks) {
  if (family !== "wood") return looks.filter((l) => l.id !== "lapped");
  const clean = looks.find((l) => l.id === "clean");
  const grits = LAST.map(([label, um]) => ({ id: `grit:${label}`, words: `last grit ${label}`, check: READY, um }));
  return [{ ...clean, check: AS_NEXT, um: 60 }, ...grits];
}

function Wanted({ g, set, w, family }) {
  const wood = family === "wood";
  const picture = (l) => {
    if (wood) return patch({ um: l.um });
    if (family !== "metal")
      return patch({ um: Math.max(0.5, l.high_um * 60), round: l.lay === "none" });
    const ra = Math.max(0.01, between(Math.max(l.low_um, l.high_um / 4), l.high_um));
    const lay = l.lay === "none" ? "&no_lay=1" : "";
    const src = `/api/look?material=${g.material}&ra_um=${Number(ra.toPrecision(2))}${lay}`;
    return html`<img loading="lazy" alt="" src=${src} />`;
  };
  const tile = (l) => html`<${Tile}
    on=${g.look === l.id}
    pick=${() => set({ look: l.id }, 4)}
    title=${l.words}
    sub=${l.check}
    pic=${picture(l)}
  />`;
  return html`<div class="tiles">${looksFor(family, w.looks).map(tile)}</div>
    ${family === "metal" &&
    html`<p class="small">
      The pictures are worked out: a lettered card ${depth(50000)} before a face of this metal.
    </p>`}
    ${wood
      ? html`<${Unknown} takes=${[["Take clean for now", () => set({ look: "clean" }, 4)]]}>
          <p>
            Oil, lacquer or paint make the look of wood. Clean is right for all of them: say next
            what goes on it.
          </p>
        </${Unknown}>`
      : html`<${Unknown} takes=${[["Take satin for now", () => set({ look: "satin" }, 4)]]}>
          <h3>Ask who gets it</h3>
          <p>
            Make a thumbnail-wide sample of two looks on scrap and have one chosen and signed.
            Until then: satin hides handling best and costs least.
          </p>
        </${Unknown}>`}`;
}

function Afterwards({ g, set, w, family }) {
  const fitting = w.ready.filter((r) => r.family === family);
  const all = [...new Set(fitting.map((r) => r.next).concat("none"))];
  const tile = (n) => {
    const r = fitting.find((x) => x.next === n);
    return html`<${Tile}
      on=${g.next === n}
      pick=${() => set({ next: n }, 5)}
      title=${NEXT[n] ?? n}
      sub=${r?.fine ? `last grit ${r.coarse} to ${r.fine}` : r?.check}
      pic=${coat(n)}
    />`;
  };
  return html`<div class="tiles">${all.map(tile)}</div>
    <${Unknown} takes=${[["Take Nothing for now", () => set({ next: "none" }, 5)]]}>
      <p>
        Leave it at Nothing. The ladder then ends at the look alone. Before any coat: wash, and
        see that a film of water holds unbroken for 30 seconds.
      </p>
    </${Unknown}>`;
}

const fits = (d, family, shape) =>
  d.families.split(";").includes(family) && d.shapes.split(";").includes(shape);

function Size({ g, set, w, family, wrong }) {
  const unit = lengthUnit();
  const typed = (k) => (x) => set({ [k]: x.target.value });
  const drive = (d) => {
    const on = g.drives.includes(d.id);
    const toggled = on ? g.drives.filter((x) => x !== d.id) : [...g.drives, d.id];
    return html`<label class="tick">
      <input type="checkbox" checked=${on} onChange=${() => set({ drives: toggled })} />
      ${d.words}
    </label>`;
  };
  const shape = ([v, t, d]) => html`<${Tile}
    on=${g.shape === v}
    pick=${() => set({ shape: v })}
    title=${t}
    pic=${outline(d)}
  />`;
  return html`<div class="row">
      <label class="grow">
        Length, ${unit}
        <input inputmode="decimal" value=${g.l} placeholder=${fromMm(100)} onInput=${typed("l")} />
      </label>
      <label class="grow">
        Width, ${unit}
        <input inputmode="decimal" value=${g.w} placeholder=${fromMm(50)} onInput=${typed("w")} />
      </label>
      <label class="grow">
        How many
        <input inputmode="numeric" value=${g.n ?? ""} placeholder="1" onInput=${typed("n")} />
      </label>
    </div>
    <div class="tiles">${SHAPES.map(shape)}</div>
    <label>
      At most this much may come off, ${depthUnit()} (empty: thick enough)
      <input
        inputmode="decimal"
        value=${g.budget ?? ""}
        placeholder="veneer: ${depthUnit() === "thou" ? 6 : 150}"
        onInput=${typed("budget")}
      />
    </label>
    <h2>What moves the abrasive?</h2>
    <div class="list two">${w.drives.filter((d) => fits(d, family, g.shape)).map(drive)}</div>
    <p class="small">
      None ticked: the ladder may use any of them, with usual papers at usual prices.
    </p>
    <label>
      Call this face
      <input
        value=${g.name ?? ""}
        placeholder="front-plate"
        maxlength="40"
        onInput=${typed("name")}
      />
    </label>
    <${Unknown}>
      <p>
        A playing card is 88 x 63 mm, a hand with its fingers about 180 x 90 mm, a door 2 m x
        0.8 m. Left empty it is 100 x 50 mm.
      </p>
    </${Unknown}>
    ${wrong && html`<p class="warn" role="alert">${wrong}</p>`}`;
}

// ---- from the answers to a face of a job ----

function freeName(wished, own) {
  const base =
    (wished || "face")
      .toLowerCase()
      .replace(/[^a-z0-9-]+/g, "-")
      .replace(/^-+|-+$/g, "")
      .slice(0, 36) || "face";
  let name = base;
  const taken = (n) => n !== own && store.job.faces.some((f) => f.name === n);
  for (let i = 2; taken(name); i++) name = `${base}-${i}`;
  return name;
}

function startOf(g, kind, process) {
  if (kind === "p") return { kind: "process", process };
  if (kind === "g") {
    const label = g.grit.trim().toUpperCase().replace(/\s/g, "");
    return { kind: "grit", system: "P", label: label.startsWith("P") ? label : `P${label}` };
  }
  const how = ["nail", "needle", "eye"].includes(g.how) ? g.how : "guess";
  return { kind: "depth", depth_um: Number(g.um.toPrecision(3)), how };
}

const targetOf = (look) =>
  look.startsWith("grit:")
    ? { kind: "last-grit", system: "P", label: look.slice(5) }
    : { kind: "look", look };

/** The face, or one sentence on what is wrong. */
function faceOf(g, w, family) {
  const l = g.l ? toMm(number(g.l) ?? NaN) : 100;
  const width = g.w ? toMm(number(g.w) ?? NaN) : 50;
  const budget = toUm(number(g.budget) ?? NaN);
  if (!(l > 0 && width > 0))
    throw new Error("Length and width should be numbers above 0, such as 100 or 12,5.");
  if ((g.budget ?? "").trim() && !(budget > 0))
    throw new Error("How much may come off should be a number above 0, or empty.");
  const [kind, process, words] = (g.start ?? "").split(":");
  const drives = w.drives.filter((d) => g.drives.includes(d.id) && fits(d, family, g.shape));
  const face = {
    name: freeName(g.name, g.again),
    material: g.material,
    shape: g.shape,
    size_mm: [l, width],
    start: startOf(g, kind, process),
    target: targetOf(g.look),
    next: g.next,
  };
  if (kind === "p" && g.variant !== "usual") face.state = words;
  if (budget > 0) face.budget_um = budget;
  if (drives.length) face.drives = drives.map((d) => d.id);
  return face;
}

function countOf(g) {
  const n = (g.n ?? "").trim() ? number(g.n) : 1;
  if (!(Number.isInteger(n) && n >= 1)) throw new Error("How many should be a whole number from 1.");
  return n;
}

/** The answers that led to a face, to be given again; start words it does not keep. */
export function answersOf(face, count) {
  const s = face.start;
  const g = { ...FRESH, material: face.material, touch: "", shape: face.shape ?? "flat" };
  const [l, w] = face.size_mm ?? [];
  Object.assign(g, { name: face.name, again: face.name, next: face.next ?? "none" });
  Object.assign(g, { l: l ? fromMm(l) : "", w: w ? fromMm(w) : "", drives: face.drives ?? [] });
  if (count > 1) g.n = String(count);
  if (face.budget_um) g.budget = String(Number((face.budget_um / toUm(1)).toPrecision(3)));
  if (face.target.kind === "look") g.look = face.target.look;
  if (face.target.kind === "last-grit") g.look = `grit:${face.target.label}`;
  if (s.kind === "grit") Object.assign(g, { start: "g", grit: s.label });
  if (s.kind === "depth") Object.assign(g, { start: "d:", um: s.depth_um, how: s.how });
  if (s.kind === "process")
    Object.assign(g, {
      start: `p:${s.process}:${face.state ?? ""}`,
      variant: face.state ? "" : "usual",
    });
  keep(KEY, g);
}

const QUESTIONS = [What, Now, Wanted, Afterwards, Size];

export function Guide({ q, go }) {
  const at = Math.min(5, Math.max(1, Number(q) || 1));
  const [g, setG] = useState(() => ({ ...FRESH, ...read(KEY, {}) }));
  const [wrong, setWrong] = useState(null);
  const words = useWords();
  const materials = useAnswer("/api/material", once);
  useEffect(() => setWrong(null), [at]);
  const set = (more, on) => {
    const n = { ...g, ...more };
    setG(n);
    keep(KEY, n);
    if (on) go(`new/${on}`);
  };
  const w = words.r;
  if (!w) return html`<h1>New face</h1>${wait(words)}`;

  const all = materials.r?.materials ?? [];
  const material = all.find((m) => m.id === g.material);
  const family = material?.family ?? "metal";
  const leave = w.leave_alone.find((r) => g.touch && r.words === g.touch);
  const suits = looksFor(family, w.looks).some((l) => l.id === g.look);
  const done = [g.material && g.touch !== undefined && g.touch !== "?" && !leave, g.start, suits, g.next, true][at - 1];
  const hint = leave
    ? "This one is not for abrasives."
    : at === 1
      ? "Choose what it is, and whether anything forbids touching it."
      : "Choose one to go on.";
  const finish = () => {
    try {
      const face = faceOf(g, w, family);
      const count = countOf(g);
      edit((job, notes) => {
        delete notes[`goal:${g.again}`]; // of what the face was before
        const old = job.faces.findIndex((f) => f.name === g.again);
        if (old >= 0) job.faces[old] = face;
        else job.faces.push(face);
        if (count > 1 || job.count) job.count = count;
      });
      keep(KEY, { ...FRESH, drives: g.drives });
      go(`face/${encodeURIComponent(face.name)}`);
    } catch (e) {
      setWrong(e.message);
    }
  };
  return html`<p class="small">
      Question ${at} of 5${material && at > 1 ? `: ${plain(material.name)}` : ""}
    </p>
    <div class="dots" aria-hidden="true">
      ${[1, 2, 3, 4, 5].map((i) => html`<i class=${i <= at ? "on" : ""} />`)}
    </div>
    <h1>${TITLES[at - 1]}</h1>
    <${QUESTIONS[at - 1]} ...${{ g, set, w, all, family, leave, wrong }} />
    <div class="row foot">
      ${at > 1 && html`<a class="button" href=${`#/new/${at - 1}`}>Back</a>`}
      <button
        class="main grow"
        disabled=${!done}
        onClick=${() => (at < 5 ? go(`new/${at + 1}`) : finish())}
      >
        ${at < 5 ? "Next" : "Work out the ladder"}
      </button>
    </div>
    ${!done && html`<p class="small">${hint}</p>`}`;
}
