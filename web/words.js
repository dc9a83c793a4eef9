// SPDX-License-Identifier: GPL-3.0-or-later
// Sentences in another language, by a file the user opens once: {"lang", "dir"?,
// "sentences": {"English": "translated"}}. English is the key, so what a file leaves out
// stays readable, and sentences of the program's data can stand in it too.
const KEY = "levigate-language";
const SAID = ["aria-label", "placeholder", "title", "alt"];
const seen = new Set();
const done = new WeakSet();
let file = null;
try {
  file = JSON.parse(localStorage.getItem(KEY));
} catch {
  /* nothing is kept here */
}

/** One sentence; outer blanks stay. */
export function say(text) {
  const inner = text.trim();
  if (!/[A-Za-z]{2}/.test(inner)) return text;
  seen.add(inner);
  const other = file?.sentences?.[inner];
  return other ? text.replace(inner, () => other) : text;
}

function child(c) {
  if (typeof c === "string") return say(c);
  return translate(c);
}

/** Every text in a tree of the page, once. */
export function translate(node) {
  if (Array.isArray(node)) return node.map(child);
  if (!node?.props || done.has(node)) return node;
  done.add(node);
  const p = node.props;
  if (p.children !== undefined)
    p.children = Array.isArray(p.children) ? p.children.map(child) : child(p.children);
  for (const k of SAID) if (typeof p[k] === "string") p[k] = say(p[k]);
  return node;
}

export const language = () => file?.lang ?? "en";

/** Take a language file over; throws one line when it is none. */
export function setLanguage(text) {
  if (text === null) {
    localStorage.removeItem(KEY);
    return;
  }
  const f = JSON.parse(text);
  if (typeof f.lang !== "string" || typeof f.sentences !== "object")
    throw new Error('no language file: it should hold "lang" and "sentences"');
  localStorage.setItem(KEY, JSON.stringify(f));
}

/** A file to translate: every sentence shown since the page was opened. */
export const blankFile = () => ({
  lang: language(),
  sentences: Object.fromEntries(
    [...seen].sort().map((s) => [s, file?.sentences?.[s] ?? ""]),
  ),
});

export function applyLanguage() {
  document.documentElement.lang = language();
  document.documentElement.dir = file?.dir === "rtl" ? "rtl" : "ltr";
}
