// SPDX-License-Identifier: GPL-3.0-or-later
// What every screen uses: asking the server, figures as people act on them, settings.
import { html as raw, render, useState, useEffect, useRef } from "./vendor/preact-htm.js";
import { translate, noteMistake } from "./words.js";

export { render, useState, useEffect, useRef };
export const html = (...parts) => translate(raw(...parts));

export function read(key, otherwise) {
  try {
    return JSON.parse(localStorage.getItem(key)) ?? otherwise;
  } catch {
    return otherwise;
  }
}

/** False when the browser keeps nothing. */
export function keep(key, value) {
  try {
    localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

export const settings = {
  units: "metric",
  look: "auto",
  hand: "usual",
  paper: "A4",
  labour: 40,
  who: "",
  drawer: "all", // plan from everything, or from the shop's drawer
  ...read("levigate-settings", {}),
};

export function applySettings() {
  const root = document.documentElement;
  root.dataset.look = settings.look;
  root.dataset.hand = settings.hand;
  keep("levigate-settings", settings);
}

// ---- asking ----

let tell = () => {};
export const whenReach = (f) => {
  tell = f;
};

// What the program says to whoever types commands, for whoever does not.
const PLAINER = [
  [/^the drawer of .* is empty.*/s, "the drawer is empty: put something in, or plan from everything one can buy"],
  [/^no (.*) in the drawer; (put it in|nearest).*/s, "that is not in the drawer"],
  [/^("[^"]*") could be .*; say which with .*/s, "$1 could be several things: write it with its letter or sign, as P240, #240 or F240"],
];

async function fetched(path, options) {
  let reply;
  try {
    reply = await fetch(path, options);
  } catch {
    tell(false);
    throw new Error("The shop PC does not answer. Your draft is kept here.");
  }
  tell(true);
  if (reply.ok) return reply;
  const answer = await reply.json().catch(() => ({}));
  const said = answer.error ?? {};
  const place = said.where && said.where !== "the file" ? `${said.where}: ` : "";
  const told = PLAINER.reduce((text, [e, to]) => text?.replace(e, to), said.text);
  const wrong = new Error(told ? (told === said.text ? place : "") + told : `The server said ${reply.status}.`);
  wrong.status = reply.status;
  wrong.code = answer.code;
  noteMistake(wrong.message, answer.code);
  throw wrong;
}

const post = (type, body) => ({
  method: "POST",
  headers: { "Content-Type": type, "X-Levigate": "1" },
  body,
});

/** GET, or POST of a value as JSON; the answer as JSON, or as a blob. */
export async function ask(path, body, how = "json") {
  const options = body === undefined ? {} : post("application/json", JSON.stringify(body));
  return (await fetched(path, options))[how]();
}

/** POST of a file. */
export const send = async (path, file, how = "json") =>
  (await fetched(path, post("application/octet-stream", file)))[how]();

const kept = new Map();
/** The answer to a question that has one answer while the page is open. */
export function once(path) {
  if (!kept.has(path)) {
    const answer = ask(path).catch((e) => {
      kept.delete(path);
      throw e;
    });
    kept.set(path, answer);
  }
  return kept.get(path);
}

/** A hook: {r} when it is there, {e} when it failed; null asks nothing. */
export function useAnswer(path, get = ask) {
  const [a, set] = useState({});
  useEffect(() => {
    let live = true;
    set({});
    if (path)
      get(path).then(
        (r) => live && set({ r }),
        (e) => live && set({ e: e.message }),
      );
    return () => {
      live = false;
    };
  }, [path]);
  return a;
}
export const useWords = () => useAnswer("/api/words", once);
export const wait = (a) =>
  a.e
    ? html`<p class="warn" role="alert">${a.e}</p>`
    : html`<p role="status">One moment${"\u2026"}</p>`;

export function saveAs(blob, name) {
  const a = document.createElement("a");
  a.href = URL.createObjectURL(blob);
  a.download = name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 60000);
}

// ---- figures ----

/** Minutes to 1, 2, 5, 10, 15 and so on, as people act on them. */
export function time(s) {
  const m = s / 60;
  if (m < 0.9) return `${Math.max(10, Math.round(s / 10) * 10)} s`;
  const step = m < 10 ? 1 : m < 60 ? 5 : 10;
  const r = Math.max(1, Math.round(m / step) * step);
  const rest = r % 60 ? ` ${r % 60} min` : "";
  return r < 60 ? `${r} min` : `${Math.floor(r / 60)} h${rest}`;
}

/** What 8 of 10 take, and what 1 in 10 takes longer than. */
export function spread(t) {
  if (time(t.p10) === time(t.p90)) return `about ${time(t.p50)}`;
  const usual = t.p50 + (t.p90 - t.p50) * 0.7;
  return `usually ${range(time(t.p10), time(usual))}; 1 in 10 takes over ${time(t.p90)}`;
}

/** "4 to 8 min": the unit once, where both have the same. */
export function range(low, high) {
  const [, unit] = low.split(" ");
  return low.split(" ").length === 2 && high.endsWith(` ${unit}`) && high.split(" ").length === 2
    ? `${low.split(" ")[0]} to ${high}`
    : `${low} to ${high}`;
}

const digits = (x, n) => String(Number(x.toPrecision(n)));
const inch = () => settings.units === "inch";

/** A depth: micrometres or thousandths of an inch. */
export function depth(um, n = 2) {
  if (inch()) return um >= 2540 ? `${digits(um / 25400, n)} in` : `${digits(um / 25.4, n)} thou`;
  return um >= 1000 ? `${digits(um / 1000, n)} mm` : `${digits(um, n)} \u00b5m`;
}

/** Texture, as drawings give it. */
export const texture = (um, n = 2) =>
  inch() ? `${digits(um / 0.0254, n)} \u00b5in` : `${digits(um, n)} \u00b5m`;

// A length typed in the unit that is shown, and back.
export const lengthUnit = () => (inch() ? "in" : "mm");
export const toMm = (x) => (inch() ? x * 25.4 : x);
export const fromMm = (mm) => digits(inch() ? mm / 25.4 : mm, 4);
export const depthUnit = () => (inch() ? "thou" : "\u00b5m");
export const toUm = (x) => (inch() ? x * 25.4 : x);

const LIKE = [
  [5, ""],
  [18, ", like kitchen foil"],
  [35, ", like cigarette paper"],
  [85, ", about a hair"],
  [150, ", like copy paper"],
];
export const likeness = (um) => LIKE.find(([below]) => um < below)?.[1] ?? "";

export const money = (minor, currency) =>
  new Intl.NumberFormat(document.documentElement.lang || "en", {
    style: "currency",
    currency: currency || "EUR",
  }).format(minor / 100);

export const day = (s) =>
  new Intl.DateTimeFormat(document.documentElement.lang || "en", {
    dateStyle: "medium",
    timeStyle: "short",
  }).format(new Date(typeof s === "number" ? s * 1000 : s));

/** Paper to a quarter sheet. */
export function sheets(n) {
  const quarters = Math.max(1, Math.ceil(n * 4));
  const whole = Math.floor(quarters / 4);
  const rest = ["", "\u00bc", "\u00bd", "\u00be"][quarters % 4];
  if (!whole) return `${rest} sheet`;
  return `${whole}${rest ? ` ${rest}` : ""} sheet${whole > 1 || rest ? "s" : ""}`;
}

/** A number with a point or a comma; null when it is none. */
export function number(s) {
  const text = String(s ?? "").trim().replace(",", ".");
  const x = Number(text);
  return text && Number.isFinite(x) ? x : null;
}

export const plain = (label) => String(label ?? "").replace(/-/g, " ");

const LETTERS = "abcdefghijkmnpqrstuvwxyz23456789";
export const id = () =>
  Array.from({ length: 12 }, () => LETTERS[(Math.random() * 32) | 0]).join("");

// ---- controls used on many screens ----

/** What figures rest on, and what is reserved: one sentence a line. */
export const Reserved = ({ mark, notes }) => html`<ul class="reserved">
  ${mark && html`<li>${`rests on: ${mark}`}</li>`} ${(notes ?? []).map((n) => html`<li>${n}</li>`)}
</ul>`;

/** A choice from a list of [value, words]; the browser's own, so that every phone knows it. */
export function Choose({ label, value, list, pick, id: own }) {
  const name = own ?? `c-${label.replace(/\W+/g, "-")}`;
  return html`<label for=${name}>
    ${label}
    <select id=${name} onChange=${(e) => pick(e.target.value)}>
      ${list.map(([v, words]) => html`<option value=${v} selected=${v === value}>${words}</option>`)}
    </select>
  </label>`;
}

/** Buttons of which one is pressed. */
export function Pick({ label, value, list, pick }) {
  return html`<div class="row" role="group" aria-label=${label}>
    ${list.map(
      ([v, words]) =>
        html`<button
          type="button"
          class=${v === value ? "main" : ""}
          aria-pressed=${v === value ? "true" : "false"}
          onClick=${() => pick(v)}
        >
          ${words}
        </button>`,
    )}
  </div>`;
}
