// SPDX-License-Identifier: GPL-3.0-or-later
// One face: its ladder at a glance and in full, what it will reflect, the choice between
// ladders, and the way back from a line found late.
import { html, useState, useEffect, useAnswer, useWords, ask, Choose, Pick } from "./base.js";
import { time, spread, depth, likeness, money, texture, id, Reserved } from "./base.js";
import { store, edit, planWork, alongLadder } from "./store.js";
import { answersOf } from "./guide.js";
import { sizeAxis, fit } from "./draw.js";
import { url, label, sentence, usePlan, useProgress, leaveOff } from "./ladder.js";
import { different, chosen, Steps, Cautions } from "./ladder.js";

const DEFERENCE = "Local law, the codes in force and licensed people come first.";
const GOALS = {
  usual: "Usual",
  time: "Quickest",
  money: "Cheapest",
  removal: "Least taken off",
  steps: "Fewest steps",
};
/** Between the goals lie others that nothing beats. */
const goalWords = (goals) =>
  goals.map((g, i) => (i ? GOALS[g].toLowerCase() : (GOALS[g] ?? "In between"))).join(", ");

// ---- the ladder at a glance ----

function Glance({ l }) {
  const graded = l.steps.filter((s) => s.d50_um);
  const items = graded.map((s) => ({
    name: `${l.steps.indexOf(s) + 1}. ${label(s)}`,
    um: s.d50_um,
    note: depth(s.d50_um, 2),
  }));
  const left = l.steps
    .filter((s) => s.Ra_after_um)
    .map((s) => ({
      name: `after ${l.steps.indexOf(s) + 1}`,
      um: s.Ra_after_um.p50,
      coarse: s.Ra_after_um.p90,
      fine: s.Ra_after_um.p10,
      note: texture(s.Ra_after_um.p50),
    }));
  return html`<section class="card glance">
    ${items.length > 1 &&
    html`<h2>Grains</h2>
      ${sizeAxis({ items, ...fit(items), label: "Grain of each step, on a log axis" })}`}
    ${left.length > 0 &&
    html`<h2>Ra left by each step</h2>
      ${sizeAxis({ items: left, ...fit(left), label: "Ra after each step, on a log axis" })}`}
  </section>`;
}

/** The face after each step, drawn by the program: the same lettered card in all. */
function Mirror({ f, l }) {
  const states = l.steps.filter((s) => s.Ra_after_um?.p50 > 0);
  const [bad, setBad] = useState(false);
  const ra = states.map((s) => Math.min(50, Number(s.Ra_after_um.p50.toPrecision(2))));
  if (!states.length || bad) return null;
  const lay = l.steps.at(-1).stroke === "circles" ? "&no_lay=1" : "";
  const src = `/api/look?material=${url(f.material)}${ra.map((r) => `&ra_um=${r}`).join("")}${lay}`;
  const words = states.map((s, i) => `after ${label(s)}, Ra ${texture(ra[i])}`).join("; ");
  return html`<section class="card mirror">
    <h2>What it will reflect</h2>
    <img src=${src} loading="lazy" alt=${`A lettered card before the face ${words}`} onError=${() => setBad(true)} />
    <ol class="under">
      ${states.map((s, i) => html`<li>${label(s)}<small>Ra ${texture(ra[i])}</small></li>`)}
    </ol>
    <p class="small">Worked out, not photographed: a card ${depth(50000)} before the face.
      ${!lay && html`<span>Looking across the lines.</span>`}</p>
  </section>`;
}

// ---- the face simulated ----

/** The older lines of which most is left after a step; the last entry is its own. */
function oldest(s) {
  const size = (t) => t.left * t.Sq_um;
  const old = s.textures.slice(0, -1).filter((t) => t.left > 2 * t.chance);
  return old.sort((a, b) => size(b) - size(a))[0];
}

function Simulated({ r }) {
  const mm = (r.columns * r.pitch_um) / 1000;
  const row = (s) => {
    const old = oldest(s);
    const maker = old && (old.made_by === "start" ? "the marks found" : old.made_by.replace(/^start, /, ""));
    const left = old && `${Math.round(100 * old.left)} % left of ${maker}`;
    return html`<li>
      <b>${s.label}</b>${" "}${s.Sa_um != null && html`<span>${`Sa ${texture(s.Sa_um)}`}</span>`}
      <br />
      <span class="small">
        ${s.Sa_um == null ? "drawn, not simulated" : (left ?? "of older lines nothing that tells")}
      </span>
    </li>`;
  };
  return html`<img class="paper" src=${r.picture} alt="The face after the last step under a low lamp, the list tells what is left" />
    <p class="small">
      ${`A square of ${depth(mm * 1000)}, worked out grain by grain, not photographed.`}${" "}
      The lamp stands low at the upper left.
    </p>
    ${r.left_out?.length > 0 &&
    html`<p class="small">Left out, as its grains are too large for this square: ${r.left_out.join(", ")}.</p>`}
    <ul aria-label="What is left after each step">${r.steps.map(row)}</ul>
    <${Reserved} mark=${r.mark} notes=${r.notes} />`;
}

/** Seconds left, told once it can be. */
const rest = (far) =>
  far.done > 4 && far.s > 1 ? `About ${time((far.s * (far.of - far.done)) / far.done)} left.` : "";

function Relief({ q }) {
  const [work, setWork] = useState(null);
  const [got, setGot] = useState({});
  const far = useProgress(work);
  useEffect(() => () => work && leaveOff(work), [work]); // whoever goes away wants it no more
  const start = () => {
    const name = id();
    const [job, query] = alongLadder(q);
    setWork(name);
    setGot({});
    ask(`/api/relief?work=${name}&face=${url(q)}${query}`, job)
      .then(
        (r) => setGot({ r }),
        (e) => setGot({ e: e.status === 409 ? "" : e.message }),
      )
      .finally(() => setWork(null));
  };
  const share = far.of === 100 ? far.done : 0;
  const button = html`<button onClick=${start}>Simulate the face</button>`;
  return html`<section class="card relief">
    <h2>Under a low lamp</h2>
    ${!work && !got.r && html`<p>Every groove of every grain, cut one after the other: it may take a minute.</p>${button}`}
    ${work &&
    html`<p role="status">Simulating the face${"\u2026"}</p>
      <progress max="100" value=${share} aria-label="Simulating the face" />
      <button onClick=${() => leaveOff(work)}>Leave off</button>
      <p class="small" aria-live="off">
        <span>${`${share} % done.`}</span> ${rest(far) && html`<span>${rest(far)}</span>`}
      </p>`}
    ${got.e && html`<p class="warn" role="alert">${got.e}</p>`}
    ${got.r && html`<${Simulated} r=${got.r} />`}
  </section>`;
}

// ---- the choice between ladders ----

const X0 = 80;
const X1 = 302;
const Y0 = 20;
const Y1 = 112;

/** Time across, depth taken off upwards; touch or drag to the ladder that is nearest. */
function Chart({ ladders, l, pick }) {
  const range = (k) => {
    const all = ladders.map((c) => c.l[k].p50);
    return [Math.min(...all), Math.max(...all)];
  };
  const [t0, t1] = range("time_s");
  const [d0, d1] = range("remove_um");
  const x = (c) => X0 + ((X1 - X0) * Math.log(c.l.time_s.p50 / t0)) / (Math.log(t1 / t0) || 1);
  const y = (c) => Y1 - ((Y1 - Y0) * (c.l.remove_um.p50 - d0)) / (d1 - d0 || 1);
  const toward = (e) => {
    if (e.type === "pointermove" && !e.buttons) return;
    const box = e.currentTarget.getBoundingClientRect();
    const px = ((e.clientX - box.left) * 320) / box.width;
    const py = ((e.clientY - box.top) * 150) / box.height;
    const far = (c) => Math.hypot(x(c) - px, y(c) - py);
    const near = ladders.reduce((a, c) => (far(c) < far(a) ? c : a));
    if (near.l !== l) pick(near.goals[0]);
  };
  return html`<svg
    class="choice"
    viewBox="0 0 320 150"
    role="img"
    aria-label=${`${ladders.length} ladders, by time and by depth taken off; the list says the same`}
    onPointerDown=${toward}
    onPointerMove=${toward}
  >
    <path class="grid" d="M64 8V124H316" fill="none" />
    <text x="58" y="26" text-anchor="end">${depth(d1)}</text>
    ${d1 > d0 * 1.05 && html`<text x="58" y="116" text-anchor="end">${depth(d0)}</text>`}
    <text x="66" y="142">${time(t0)}</text>
    ${t1 > t0 * 1.2 && html`<text x="312" y="142" text-anchor="end">${time(t1)}</text>`}
    ${ladders.map(
      (c) => html`<circle
        cx=${x(c)}
        cy=${y(c)}
        r=${c.l === l ? 11 : 7}
        class=${c.l === l ? "fill ink" : "ink hollow"}
        stroke-width="2.5"
      />`,
    )}
  </svg>`;
}

function Choice({ p, l, pick }) {
  const ladders = different(p);
  const mine = ladders.find((c) => c.l === l || c.goals.includes(l.goal));
  if (ladders.length < 2)
    return html`<section class="card">
      <h2>What matters most?</h2>
      <p>One ladder is the quickest, the cheapest and takes the least off. There is no choice.</p>
    </section>`;
  const by = [...ladders].sort((a, b) => a.l.remove_um.p50 - b.l.remove_um.p50);
  const says = (c) =>
    `${depth(c.l.remove_um.p50)} off, ${time(c.l.time_s.p50)}, ` +
    money(c.l.cost_minor.p50, store.job.currency);
  return html`<section class="card" aria-label="Choose between ladders">
    <h2>What matters most?</h2>
    <div class="choices" role="group" aria-label="What matters most?">
      ${ladders.map(
        (c) => html`<button
          class=${c === mine ? "main" : ""}
          aria-pressed=${c === mine ? "true" : "false"}
          onClick=${() => pick(c.goals[0])}
        >
          <span>${goalWords(c.goals)}</span>
          <small>${says(c)}</small>
        </button>`,
      )}
    </div>
    <${Chart} ladders=${ladders} l=${mine.l} pick=${pick} />
    <label>
      Drag from little taken off to much
      <input
        type="range"
        min="0"
        max=${by.length - 1}
        value=${by.indexOf(mine)}
        aria-valuetext=${says(mine)}
        onInput=${(e) => pick(by[e.target.value].goals[0])}
      />
    </label>
  </section>`;
}

// ---- the screen ----

function Waiting({ q }) {
  const work = planWork(q);
  const far = useProgress(work);
  const face = far.of > 1 ? `Face ${far.done + 1} of ${far.of}.` : "";
  return html`<h1>${q}</h1>
    <p role="status">Working out the ladder${"\u2026"}</p>
    <progress aria-label="Working out the ladder" />
    <button onClick=${() => leaveOff(work)}>Leave off</button>
    <p class="small" aria-live="off">
      ${face && html`<span>${face}</span> `}
      ${far.s > 0 && html`<span>${`${far.s} s so far.`}</span> `}
      ${far.begun > 0 && html`<span>${`${far.begun} ladders begun to find the best.`}</span>`}
    </p>`;
}

function Totals({ l }) {
  return html`<div class="card facts">
      <span>in all <b>${spread(l.time_s)}</b></span>
      ${l.elapsed_s.p50 > l.time_s.p50 + 60 &&
      html`<span>with waiting <b>${time(l.elapsed_s.p50)}</b></span>`}
      <span>takes off <b>${depth(l.remove_um.p50)}</b>${likeness(l.remove_um.p50)}</span>
      <span>costs about <b>${money(l.cost_minor.p50, store.job.currency)}</b></span>
    </div>
    <${Reserved} mark=${l.mark} notes=${l.notes} />`;
}

/** Give the answers of a face again, from one of the five questions on. */
function answerAgain(q, go, from) {
  answersOf(
    store.job.faces.find((x) => x.name === q),
    store.job.count,
  );
  go(`new/${from}`);
}

function Ways({ q, go }) {
  const again = () => answerAgain(q, go, 1);
  const out = () => {
    edit((j) => {
      j.faces = j.faces.filter((x) => x.name !== q);
    });
    go("job");
  };
  return html`<div class="row">
    <button onClick=${again}>Change the answers</button>
    <a class="button" href="#/job">To the job</a>
    <button onClick=${out}>Take this face out</button>
  </div>`;
}

function Feasible({ q, f, p, go }) {
  const l = chosen(q, p);
  const first =
    l.goal === "usual" ? p.answer : `start with ${label(l.steps[0])}, about ${time(l.time_s.p50)}`;
  const pick = (goal) =>
    edit((j, notes) => {
      notes[`goal:${q}`] = goal;
    });
  return html`<h1>${q}</h1>
    <p class="answer">${sentence(first)}</p>
    <p class="proof">${p.proof.replace(/^done when: /, "")}</p>
    <div class="row">
      <a class="button main grow" href=${`#/bench/${url(q)}/1`}>Go to the bench</a>
      <a class="button grow" href=${`#/card/${url(q)}`}>The card</a>
      <a class="button grow" href=${`#/recover/${url(q)}`}>I found a line</a>
    </div>
    <div class="two-sided">
      <div>
        <${Steps} steps=${l.steps} face=${q} goal=${l.goal} />
        <${Totals} l=${l} />
      </div>
      <div class="beside">
        <${Choice} p=${p} l=${l} pick=${pick} />
        <${Glance} l=${l} />
        <${Mirror} f=${f} l=${l} key=${l.goal} />
        <${Relief} q=${q} key=${`relief ${l.goal}`} />
      </div>
      <div class="beneath">
        <${Cautions} list=${p.cautions} deference=${DEFERENCE} />
        <${Ways} q=${q} go=${go} />
      </div>
    </div>`;
}

export function Face({ q, go }) {
  const { f, p, e, again } = usePlan(q);
  if (!f)
    return html`<h1>No such face</h1>
      <p>It was renamed or taken out. <a href="#/job">To the job</a></p>`;
  if (e)
    return html`<h1>${q}</h1>
      <p class="warn" role="alert">${e}</p>
      ${/exclude each other|is made by what goes on it/.test(e)
        ? html`<div class="row">
            <button class="main" onClick=${() => answerAgain(q, go, 3)}>Choose another look</button>
            <button onClick=${() => answerAgain(q, go, 4)}>Something else goes on it</button>
          </div>`
        : html`<button class="main" onClick=${again}>Work it out again</button>`}
      <${Ways} q=${q} go=${go} />`;
  if (!p) return html`<${Waiting} q=${q} />`;
  if (p.feasible) return html`<${Feasible} ...${{ q, f, p, go }} />`;
  return html`<h1>${q}</h1>
    <p class="answer">${p.leave_alone ? "Leave it alone" : "It cannot be done so"}</p>
    <p class="warn">${p.why_not}</p>
    <p>${p.would_help}</p>
    <${Ways} q=${q} go=${go} />
    <${Cautions} list=${p.cautions} deference=${DEFERENCE} />`;
}

// ---- a line found late ----

const ONE_OR_MANY = [
  ["", "One line alone"],
  ["1", "Many, one direction"],
];

function Found({ r }) {
  const where = r.mode === "spot" ? `a ${Math.round(r.spot_mm)} mm spot` : "the whole face";
  return html`<section aria-live="polite">
    <p class="answer">Back to step ${r.back_to_step}, ${where}</p>
    <p>${r.because}.</p>
    ${r.cause === "stray-grain" &&
    html`<p class="gate">Wash everything down first: cloth, bench, hands, water.</p>`}
    <${Steps} steps=${r.ladder.steps} label="The way back" />
  </section>`;
}

export function Recover({ q, step }) {
  const faces = store.job.faces.map((f) => f.name);
  const [a, set] = useState({ face: q ?? faces[0], after: step || "1", many: "", felt: "nail" });
  const [r, setR] = useState({});
  const words = useWords();
  const { p } = usePlan(a.face);
  if (!faces.length)
    return html`<h1>A line found late</h1>
      <p class="answer">Seldom start again: go back to the grit that made it.</p>
      <p class="proof">
        One line alone across all others is a stray grain; a set in one direction was left too
        soon.
      </p>
      <p><a class="button" href="#/new">Tell me the face, and I work out the way back</a></p>`;
  const find = () => {
    setR({});
    const [job, along] = alongLadder(a.face);
    const many = a.many ? "&many=1" : "";
    const query = `face=${url(a.face)}&after=${a.after}&felt=${a.felt}${many}`;
    ask(`/api/recover?${query}${along}`, job).then(
      (found) => setR({ found }),
      (e) => setR({ e: e.message }),
    );
  };
  const change = (k) => (v) => set({ ...a, [k]: v });
  const steps = p?.feasible ? chosen(a.face, p).steps : [{ label: "1" }];
  return html`<h1>A line found late</h1>
    <${Choose} label="Face" value=${a.face} list=${faces.map((n) => [n, n])} pick=${change("face")} />
    <${Choose}
      label="Found after step"
      value=${a.after}
      list=${steps.map((s, i) => [String(i + 1), `${i + 1}. ${label(s)}`])}
      pick=${change("after")}
    />
    <${Pick} label="One or many" value=${a.many} list=${ONE_OR_MANY} pick=${change("many")} />
    <${Choose}
      label="How is it felt or seen?"
      value=${a.felt}
      list=${(words.r?.felt ?? []).map((f) => [f.id, f.words])}
      pick=${change("felt")}
    />
    <button class="main" onClick=${find}>The way back</button>
    ${r.e && html`<p class="warn" role="alert">${r.e}</p>`}
    ${r.found && html`<${Found} r=${r.found} />`}`;
}
