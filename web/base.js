// SPDX-License-Identifier: GPL-3.0-or-later
// What every screen uses: asking the server, figures as people act on them, settings.
export { html, render, useState, useEffect, useRef } from "./vendor/preact-htm.js";
export const settings = { units: "metric", look: "auto", hand: "usual", paper: "A4", labour: 40,
  ...read("levigate-settings", {}) };
export function read(key, otherwise) {
  try { return JSON.parse(localStorage.getItem(key)) ?? otherwise; } catch { return otherwise; }
}
export function keep(key, value) {
  try { localStorage.setItem(key, JSON.stringify(value)); return true; } catch { return false; }
}
export function applySettings() {
  const root = document.documentElement;
  root.dataset.look = settings.look;
  root.dataset.hand = settings.hand;
  keep("levigate-settings", settings);
}
let tell = () => {};
export const whenReach = (f) => { tell = f; };
export const send = (path, file) => ask(path, file, "json", "application/octet-stream");
export async function ask(path, body, how = "json", type = "application/json") {
  let reply;
  try {
    reply = await fetch(path, body === undefined ? {} : { method: "POST",
      headers: { "Content-Type": type, "X-Levigate": "1" }, body: type === "application/json" ? JSON.stringify(body) : body });
  } catch { tell(false); throw new Error("The shop PC does not answer. Your draft is kept here."); }
  tell(true);
  if (reply.ok) return how === "json" ? reply.json() : reply.blob();
  const text = (await reply.json().catch(() => ({}))).error?.text;
  throw new Error(text || `The server said ${reply.status}.`);
}
const kept = new Map();
export function once(path) {
  if (!kept.has(path)) kept.set(path, ask(path).catch((e) => { kept.delete(path); throw e; }));
  return kept.get(path);
}
// Minutes to 1, 2, 5, 10, 15 and so on, as people act on them.
export function time(s) {
  const m = s / 60;
  if (m < 0.9) return `${Math.max(10, Math.round(s / 10) * 10)} s`;
  const step = m < 10 ? 1 : m < 60 ? 5 : 10, r = Math.max(1, Math.round(m / step) * step);
  return r < 60 ? `${r} min` : `${Math.floor(r / 60)} h${r % 60 ? ` ${r % 60} min` : ""}`;
}
export const spread = (t) => time(t.p10) === time(t.p90) ? `about ${time(t.p50)}`
  : `usually ${time(t.p10)} to ${time(t.p50 + (t.p90 - t.p50) * 0.7)}; 1 in 10 takes over ${time(t.p90)}`;
const digits = (x, n) => String(Number(x.toPrecision(n)));
export const depth = (um, n = 2) => settings.units === "inch"
  ? `${digits(um / 25400, n)} in` : um >= 1000 ? `${digits(um / 1000, n)} mm` : `${digits(um, n)} \u00b5m`;
export const likeness = (um) => um < 5 ? "" : um < 18 ? ", like kitchen foil" : um < 35 ? ", like cigarette paper"
  : um < 85 ? ", about a hair" : um < 150 ? ", like copy paper" : "";
export const money = (minor, currency) => new Intl.NumberFormat("en", { style: "currency", currency }).format(minor / 100);
export const sheets = (n) => { const q = Math.max(1, Math.ceil(n * 4)); const w = Math.floor(q / 4), r = ["", "\u00bc", "\u00bd", "\u00be"][q % 4];
  return w ? `${w}${r ? " " + r : ""} sheet${w > 1 || r ? "s" : ""}` : `${r} sheet`; };
export const number = (s) => { const x = Number(String(s).trim().replace(",", ".")); return String(s).trim() && Number.isFinite(x) ? x : null; };
export const plain = (label) => String(label ?? "").replace(/-/g, " ");
export const id = () => Array.from({ length: 12 }, () => "abcdefghijkmnpqrstuvwxyz23456789"[Math.random() * 32 | 0]).join("");
