// SPDX-License-Identifier: GPL-3.0-or-later
// Exercises for a class: guess, do, measure, why. Coupons carry hidden codes, pupils are
// numbered sheets of paper, and no name is asked for. One screen tells how the class as a
// whole guessed, large enough for the wall.
import { html, useState, ask, wait, settings, number, day } from "./base.js";
import { Pick } from "./base.js";
import { useShop, useDeed } from "./shop.js";

const times = (x) => `${Number(x.toPrecision(2))} times`;
const unit = (u) => (u === "um" ? "\u00b5m" : u);
const title = (t) => t.charAt(0).toUpperCase() + t.slice(1);
const papers = () => (settings.paper === "Letter" ? "Letter" : "A4");
const sheet = (id, more) => `/api/worksheet?number=${id}&paper=${papers()}${more}`;
const wrong = (e) => e && html`<p class="warn" role="alert">${e}</p>`;

function Parts({ x }) {
  return html`<h3>Guess</h3>
    <p>${x.guess}</p>
    <h3>Do</h3>
    <p>${x.do}</p>
    <h3>Measure</h3>
    <p>${x.measure}</p>`;
}

// ---- the list ----

export function Exercises({ go }) {
  const list = useShop("/api/exercise");
  const deed = useDeed();
  const make = (kind) =>
    deed.run(async () => {
      const x = await ask("/api/exercise", { act: "make", kind });
      go(`exercise/${x.exercise}`);
    });
  const card = (x) => html`<details class="q">
    <summary>${title(x.words)}</summary>
    <div>
      <${Parts} x=${x} />
      <button class="main" disabled=${deed.busy} onClick=${() => make(x.kind)}>
        Deal out the codes
      </button>
    </div>
  </details>`;
  const words = (kind) => list.r.exercises.find((x) => x.kind === kind)?.words ?? kind;
  const kept = (x) => html`<a class="card face" href=${`#/exercise/${x.exercise}`}>
    <b>${title(words(x.kind))}</b>
    <p class="facts small">
      <span>number ${x.exercise}</span>
      <span>${x.coupons} coupons</span>
      <span>${x.guesses} guesses</span>
      <span>${day(x.made_s)}</span>
    </p>
  </a>`;
  return html`<h1>Exercises</h1>
    <p class="answer">Guess, do, measure, and then why.</p>
    <p class="proof">
      Halving the error of the guess from before measuring to after it is the mark of learning.
    </p>
    ${wrong(deed.e)} ${!list.r && wait(list)}
    ${list.r &&
    html`<div class="list two">${list.r.exercises.map(card)}</div>
      ${list.r.kept.length > 0 &&
      html`<h2>Dealt out before</h2>
        <div class="list two">${list.r.kept.map(kept)}</div>`}`}`;
}

// ---- one exercise ----

const ROUNDS = [
  ["1", "Before measuring"],
  ["2", "After measuring"],
];

/** The guesses of one sheet, then the next one; a phone goes from bench to bench. */
function Guesses({ x, done }) {
  const [n, setN] = useState(1);
  const [round, setRound] = useState("1");
  const [a, set] = useState({});
  const [said, say] = useState("");
  const deed = useDeed();
  const send = (e) => {
    e.preventDefault();
    const words = x.coupons
      .map((c) => [c.code, a[c.code] === "?" ? "?" : number(a[c.code])])
      .filter(([, v]) => v !== null)
      .map((w) => w.join("="));
    deed.run(async () => {
      if (!words.length) throw new Error("Write at least one guess, or tick unsure.");
      const guesses = words.join(" ");
      await ask("/api/exercise", {
        act: "guess",
        number: x.exercise,
        sheet: n,
        round: Number(round),
        guesses,
      });
      say(`Sheet ${n} is in.`);
      set({});
      setN(n + 1);
      done();
    });
  };
  const row = (c) => html`<div class="row tight level">
    <label class="grow">
      ${c.code}
      <input
        inputmode="decimal"
        aria-label=${`Guess for ${c.code}, ${unit(x.unit)}`}
        disabled=${a[c.code] === "?"}
        value=${a[c.code] === "?" ? "" : (a[c.code] ?? "")}
        onInput=${(e) => set({ ...a, [c.code]: e.target.value })}
      />
    </label>
    <label class="tick short">
      <input
        type="checkbox"
        checked=${a[c.code] === "?"}
        onChange=${(e) => set({ ...a, [c.code]: e.target.checked ? "?" : "" })}
      />
      unsure
    </label>
  </div>`;
  return html`<form class="card" onSubmit=${send}>
    <h2>Take in a sheet</h2>
    <${Pick} label="Which guess" value=${round} list=${ROUNDS} pick=${setRound} />
    <label>
      Number of the sheet
      <input
        inputmode="numeric"
        value=${n}
        onInput=${(e) => setN(Math.max(1, Math.round(number(e.target.value) ?? 1)))}
      />
    </label>
    <p>Each guess in ${unit(x.unit)}:</p>
    <div class="list">${x.coupons.map(row)}</div>
    ${wrong(deed.e)}
    <p role="status">${said}</p>
    <button class="main" disabled=${deed.busy}>Take it in</button>
  </form>`;
}

function Key({ id, u }) {
  const [open, set] = useState(false);
  const key = useShop(open && `/api/exercise?act=key&number=${id}`);
  if (!open)
    return html`<p>Everybody has guessed twice?</p>
      <button onClick=${() => set(true)}>Show the truth and why</button>`;
  if (!key.r) return wait(key);
  const row = (c) => html`<tr>
    <th scope="row">${c.code}</th>
    <td>${c.words}</td>
    <td class="num">${`${Number(c.truth.toPrecision(3))} ${unit(u)}`}</td>
  </tr>`;
  return html`<section class="card">
    <h2>Why</h2>
    <p>${key.r.why}</p>
    <div class="scroll" tabindex="0" role="region" aria-label="The truth">
      <table>
        <caption>The truth</caption>
        <tbody>${key.r.coupons.map(row)}</tbody>
      </table>
    </div>
  </section>`;
}

export function Exercise({ q }) {
  const [copies, setCopies] = useState("24");
  const x = useShop(`/api/exercise?act=show&number=${encodeURIComponent(q)}`);
  const score = useShop(`/api/exercise?act=score&number=${encodeURIComponent(q)}`);
  if (!x.r) return html`<h1>Exercise</h1>${wait(x)}`;
  const many = Math.min(200, Math.max(1, Math.round(number(copies) ?? 1)));
  return html`<p class="small">
      <a href="#/exercises">Exercises</a>, number ${x.r.exercise}
    </p>
    <h1>${title(x.r.words)}</h1>
    <div class="two-sided">
      <div>
        <section class="card">
          <h2>Write on the coupons</h2>
          <p class="codes">${x.r.coupons.map((c) => html`<b>${c.code}</b>${" "}`)}</p>
          <p class="small">What hides behind each code stands on the answer key.</p>
          <div class="row">
            <label class="grow">
              Worksheets
              <input inputmode="numeric" value=${copies} onInput=${(e) => setCopies(e.target.value)} />
            </label>
            <a class="button main grow" target="_blank" href=${sheet(q, `&copies=${many}`)}>
              Print the worksheets
            </a>
            <a class="button grow" target="_blank" href=${sheet(q, "&key=1")}>The answer key</a>
          </div>
        </section>
        <section class="card"><${Parts} x=${x.r} /></section>
      </div>
      <div>
        <${Guesses} x=${x.r} done=${score.again} />
        <section class="card" aria-live="polite">
          <h2>How the class guessed</h2>
          ${score.r && html`<${Score} s=${score.r} />`}
          <a class="button" href=${`#/class/${encodeURIComponent(q)}`}>Whole screen, for the wall</a>
        </section>
        <${Key} id=${x.r.exercise} u=${x.r.unit} />
      </div>
    </div>`;
}

// ---- how the class guessed ----

/** Guess over truth on a log axis: the line is the truth, the bar is what 8 of 10 said. */
function Spread({ one, two }) {
  const codes = Object.keys((two ?? one).coupon_guess_over_truth);
  const all = [one, two].flatMap((r) => (r ? Object.values(r.coupon_guess_over_truth) : []));
  const most = Math.max(2, ...all.flatMap((s) => [s.p90, 1 / s.p10])) * 1.1;
  const at = (x) => 50 + (50 * Math.log(x)) / Math.log(most);
  const bar = (s, cls) =>
    s &&
    html`<i class=${`span ${cls}`} style=${{ left: `${at(s.p10)}%`, width: `${Math.max(1.5, at(s.p90) - at(s.p10))}%` }} />
      <i class="mid" style=${{ left: `${at(s.p50)}%` }} />`;
  const row = (code, round, s) => html`<li class=${round === 1 ? "faint" : ""}>
    <span class="name">${code}${two && one ? `, ${round === 1 ? "before" : "after"}` : ""}</span>
    <span class="track" aria-hidden="true">
      <i class="tick truth" style=${{ left: "50%" }} />
      ${bar(s, "")}
    </span>
    <span class="num">${`\u00d7 ${Number(s.p50.toPrecision(2))}`}</span>
  </li>`;
  return html`<ol class="sizes" aria-label="Guess over truth of each coupon">
    ${codes.flatMap((code) =>
      [one, two]
        .filter((r) => r?.coupon_guess_over_truth[code])
        .map((r) => row(code, r.round, r.coupon_guess_over_truth[code])),
    )}
  </ol>`;
}

function Score({ s }) {
  const one = s.rounds.find((r) => r.round === 1);
  const two = s.rounds.find((r) => r.round === 2);
  const last = two ?? one;
  if (!last) return html`<p>No guesses yet.</p>`;
  const sheets = last.sheets === 1 ? "1 worksheet" : `${last.sheets} worksheets`;
  return html`<p class="answer">${`Off by ${times(last.factor)}`}</p>
    ${s.halved !== undefined &&
    html`<p>
      ${`Before measuring it was ${times(one.factor)}.`}${" "}
      ${s.halved ? "The error is halved." : "The error is not halved yet."}
    </p>`}
    <p class="facts small">
      <span>${sheets}</span>
      ${last.sheets > 1 && html`<span>${`8 of 10 between ${times(last.sheets_low)} and ${times(last.sheets_high)}`}</span>`}
      ${last.unsure > 0 && html`<span>${`${last.unsure} unsure`}</span>`}
    </p>
    <${Spread} one=${one} two=${two} />
    <p class="small">The line is the truth; left of it they guessed too small, right of it too large.</p>`;
}

export function Class({ q }) {
  const x = useShop(`/api/exercise?act=show&number=${encodeURIComponent(q)}`);
  const score = useShop(`/api/exercise?act=score&number=${encodeURIComponent(q)}`);
  return html`<div class="wall">
    <div class="row tight">
      <h1 class="grow">${x.r ? title(x.r.words) : "How the class guessed"}</h1>
      <a class="button" href=${`#/exercise/${encodeURIComponent(q)}`}>Close</a>
    </div>
    ${score.r ? html`<${Score} s=${score.r} />` : wait(score)}
  </div>`;
}
