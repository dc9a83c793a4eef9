// SPDX-License-Identifier: GPL-3.0-or-later
// Sentences in another language: {"lang", "dir"?, "sentences": {"English": "translated"}},
// one that comes with the program or a file the user opens. English is the key, so what a
// file leaves out stays readable, and sentences of the program's data stand in it too. In
// a key {} is a number with its unit, and * anything else, itself said in that language.
const KEY = "levigate-language";
const SAID = ["aria-label", "aria-valuetext", "placeholder", "title", "alt"];
/** Languages that come with the program: what it is called there, and its file. */
export const LANGUAGES = [
  ["en", "English"],
  ["de", "Deutsch"],
];
const NUMBER = "\\d+(?:[.,]\\d+)*(?:e[+-]?\\d+)?(?: (?:h \\d+ min|h|min|s|\u00b5m|um|mm|thou|kg|g|%)(?![A-Za-z]))?";
const seen = new Set();
const done = new WeakSet();
let kept = new Map(); // what was said for what
let file = null;
let patterns = null; // keys with a *, as expressions
try {
  file = JSON.parse(localStorage.getItem(KEY));
} catch {
  /* nothing is kept here */
}

/** A number as it is written there: decimal comma where the language has one. */
const comma = file && /,/.test(new Intl.NumberFormat(file.lang).format(0.5));
const written = (x) =>
  comma
    ? x.replace(/\d+(?:\.\d+)*/g, (m) => (/^\d+\.\d+$/.test(m) ? m.replace(".", ",") : m))
    : x; // a date has more points and keeps them

function expression(key) {
  const source = key.replace(/\{\}|\*|[.+?^$()|[\]\\/]/g, (m) =>
    m === "{}" ? `(${NUMBER})` : m === "*" ? "(.+?)" : `\\${m}`,
  );
  return new RegExp(`^${source}$`, "s");
}

/** A translation with numbers and words put in, in the order they have in the key. */
function filled(key, to, groups) {
  const holes = key.match(/\{\}|\*/g) ?? [];
  const numbers = groups.filter((_, i) => holes[i] === "{}");
  const words = groups.filter((_, i) => holes[i] === "*");
  return to.replace(/\{\}|\*/g, (m) => (m === "{}" ? written(numbers.shift()) : say(words.shift())));
}

const mistakes = new Map(); // what the server said, by its words: the code beside them
export const noteMistake = (text, code) => code && mistakes.set(text, code);

/** A mistake that has no sentence of its own here: what kind it is, and then as it was said. */
function byCode(inner) {
  const kind = file.sentences[`code:${mistakes.get(inner)}`];
  return kind ? `${kind} (${inner})` : null;
}

function found(inner) {
  const own = file.sentences[inner];
  if (own) return own;
  const numbers = inner.match(new RegExp(NUMBER, "g")) ?? [];
  const key = inner.replace(new RegExp(NUMBER, "g"), "{}");
  if (numbers.length && file.sentences[key]) return filled(key, file.sentences[key], numbers);
  patterns ??= Object.keys(file.sentences)
    .filter((k) => k.includes("*"))
    .sort((a, b) => b.length - a.length)
    .map((k) => [k, expression(k)]);
  for (const [k, e] of patterns) {
    const m = (/[A-Za-z]/.test(k) || !byCode(inner)) && inner.match(e);
    if (m) return filled(k, file.sentences[k], m.slice(1));
  }
  const kind = byCode(inner);
  if (kind) return kind;
  seen.add(key);
  return written(inner);
}

/** One sentence; outer blanks stay. */
export function say(text) {
  if (!file?.sentences) {
    if (/[A-Za-z]{2}/.test(text)) seen.add(text.trim().replace(/\s+/g, " "));
    return typeset(text);
  }
  if (kept.has(text)) return kept.get(text);
  const inner = text.trim();
  const one = inner.replace(/\s+/g, " "); // a line of the source may end within it
  const out = typeset(/[A-Za-z]{2}/.test(one) ? text.replace(inner, () => found(one)) : written(text));
  if (kept.size > 4000) kept = new Map();
  kept.set(text, out);
  kept.set(out, out); // what was said once is not said again
  return out;
}

/** Units as people write them; the program's data keep to plain letters. */
const typeset = (s) =>
  s.replace(/(\d) um\b/g, "$1 \u00b5m").replace(/\b([cm]m)([23])\b/g, (m, u, n) => u + "\u00b2\u00b3"[n - 2]);

function child(c) {
  if (typeof c === "string") return say(c);
  if (typeof c === "number") return written(String(c));
  return translate(c);
}

/** Every text in a tree of the page, once. */
export function translate(node) {
  if (Array.isArray(node)) return node.map(child);
  if (!node?.props || done.has(node)) return node;
  done.add(node);
  const p = node.props;
  if (p.translate === "no") return node; // names people gave
  if (p.children !== undefined)
    p.children = Array.isArray(p.children) ? p.children.map(child) : child(p.children);
  for (const k of SAID) if (typeof p[k] === "string") p[k] = say(p[k]);
  return node;
}

export const language = () => file?.lang ?? "en";

function keepFile(f) {
  localStorage.setItem(KEY, JSON.stringify(f));
}

/** Take a language file over; throws one line when it is none. */
export function setLanguage(text) {
  if (text === null) {
    localStorage.removeItem(KEY);
    return;
  }
  const f = JSON.parse(text);
  if (typeof f.lang !== "string" || typeof f.sentences !== "object")
    throw new Error('no language file: it should hold "lang" and "sentences"');
  keepFile(f);
}

/** Take a language that comes with the program. */
export async function useLanguage(lang, version) {
  if (lang === "en") return setLanguage(null);
  const f = await (await fetch(`/web/${lang}.json`)).json();
  return keepFile({ ...f, version });
}

/** A newer program brings newer sentences. True when the page should be drawn anew. */
export async function refreshLanguage(version) {
  if (!file?.version || file.version === version) return false;
  await useLanguage(file.lang, version);
  return true;
}

/** A file to translate: every sentence shown since the page was opened, and those it has. */
export const blankFile = () => ({
  lang: language(),
  sentences: {
    ...Object.fromEntries([...seen].sort().map((s) => [s, ""])),
    ...file?.sentences,
  },
});
/** What was shown and has no translation. */
export const missing = () => [...seen].sort();

export function applyLanguage() {
  const root = document.documentElement; // what the style sheet writes
  root.style.setProperty("--check", JSON.stringify(`${say("Check:")} `));
  root.style.setProperty("--chosen", JSON.stringify(say("chosen")));
  document.documentElement.lang = language();
  document.documentElement.dir = file?.dir === "rtl" ? "rtl" : "ltr";
}
