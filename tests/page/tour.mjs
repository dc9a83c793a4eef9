// SPDX-License-Identifier: GPL-3.0-or-later
// Through every screen with all that can be opened open: for what must hold on each.
import { draft, plate } from "./lib.mjs";

const post = { method: "POST", headers: { "Content-Type": "application/json", "X-Levigate": "1" } };
export const tourFaces = [
  plate,
  { ...plate, name: "filed-plate", start: { kind: "process", process: "filed" }, drives: ["hand-plate", "hand-cork"], target: { kind: "look", look: "sheen" } },
  { name: "board", material: "w_walnut", shape: "flat", size_mm: [500, 200], start: { kind: "process", process: "planed" }, target: { kind: "last-grit", system: "P", label: "P180" }, next: "oil", drives: ["orbital", "hand-cork"] },
  { name: "door", material: "w_walnut", shape: "flat", size_mm: [300, 200], thickness_mm: 0.6, budget_um: 20, start: { kind: "process", process: "planed" }, target: { kind: "last-grit", system: "P", label: "P180" }, next: "oil", drives: ["orbital"] },
  { name: "dial", material: "brass_260", state: "gilded", shape: "flat", size_mm: [80, 80], start: { kind: "depth", depth_um: 3, how: "eye" }, target: { kind: "look", look: "bright" }, next: "none" },
  { name: "small-plate", material: "steel_mild", shape: "flat", size_mm: [40, 20], start: { kind: "process", process: "sawn" }, target: { kind: "look", look: "grained" }, next: "none", drives: ["hand-wood", "belt"] },
];
const names = [...tourFaces.map((f) => f.name), "bracket clock (invented)", "tour"];
/** Not sentences: what people or the test named. */
export const named = (s) => names.some((n) => s === n) || /^(levigate|RB|xyzzy|brass_\{\}|[A-Z]{2}\{\}|Guess for .*)$/.test(s);

const guide = (more) => JSON.stringify({ touch: "", start: "d:nail-tick", um: 11, how: "nail", look: "satin", next: "none", drives: [], l: "100", w: "50", shape: "flat", material: "brass_260", ...more });

/** Visit all; `at(name)` is awaited on each screen when it stands. */
export async function tour(page, address, at) {
  const go = async (to, until, ms = 20000) => {
    await page.evaluate((h) => { location.hash = h; }, `#/${to}`);
    if (until) await page.locator(until.split(", ").map((u) => `main:not([hidden]) ${u}`).join(", ")).first().waitFor({ timeout: ms });
    await page.waitForTimeout(150);
    await page.evaluate(() => { for (const d of document.querySelectorAll("main:not([hidden]) details")) d.open = true; });
    await page.waitForTimeout(50);
    await at(to);
  };
  const ask = (path, body) => page.evaluate(async ([p, o]) => (await fetch(p, o)).json(), [path, body ? { ...post, body: JSON.stringify(body) } : {}]);
  await page.goto(address);
  const job = { ...draft(tourFaces), shop: { name: "tour", version: 1 } };
  job.job.name = "tour";
  if (!(await ask("/api/job")).jobs.some((j) => j.name === "tour")) {
    await ask("/api/job?act=add&name=tour", job.job);
    await ask("/api/job?act=start&name=tour&no_log=1", {});
    await ask("/api/drawer", { act: "add", what: "P240", pieces: 10, size: "230x280", price: "1.10 EUR", reorder_at: 20 });
    await ask("/api/drawer", { act: "add", what: "P400", pieces: 4, size: "230x280", price: "1.10 EUR" });
    for (const line of ["5m 1/2 sheet keep-at-it", "2m next-grit; paper tired", "~10m Ra 0.4 next-grit"]) await ask("/api/log", { job: "tour", face: "front-plate", number: 1, who: "RB", line, sure: true });
    await page.evaluate(async () => { // a photo that goes with no entry
      const c = document.createElement("canvas");
      c.width = c.height = 64;
      c.getContext("2d");
      const body = await new Promise((done) => c.toBlob(done, "image/jpeg"));
      await fetch("/api/photo?job=tour&name=x.jpg", { method: "POST", body, headers: { "Content-Type": "application/octet-stream", "X-Levigate": "1" } });
    });
    const x = await ask("/api/exercise", { act: "make", kind: "planted-line", seed: 7 });
    for (const [round, by] of [[1, 3], [2, 1.4]]) for (const sheet of [1, 2]) await ask("/api/exercise", { act: "guess", number: x.exercise, sheet, round, guesses: x.coupons.map((c, i) => `${c.code}=${i === 0 ? "?" : Math.round(40 * by ** i)}`).join(" ") });
  }
  await page.evaluate((d) => localStorage.setItem("levigate-draft", d), JSON.stringify(job));
  await page.reload();
  await go("", "details");
  for (const g of [{}, { material: "w_walnut" }, { material: "pmma" }]) {
    await page.evaluate((x) => localStorage.setItem("levigate-guide", x), guide(g));
    for (const n of [1, 2, 3, 4, 5]) {
      await go("keys", "table");
      await go(`new/${n}`, n < 5 ? ".tile" : "form, .tile");
      for (const b of await page.locator("button[aria-expanded=false]").all()) await b.click();
      await at(`new/${n} unknown`);
    }
  }
  await page.evaluate((x) => localStorage.setItem("levigate-guide", x), guide({}));
  await go("keys", "table");
  await go("new/1", ".tile");
  for (const b of (await page.locator("#view h2 + .row button").all()).slice(1)) {
    await b.click();
    await at("new/1 leave alone");
  }
  await go("job", "a.face");
  for (const f of tourFaces) {
    await go(`face/${f.name}`, ".answer");
    for (const b of await page.locator("#view section:not(.relief) > button").all()) await b.click();
    await page.waitForTimeout(300);
    await at(`face/${f.name} all`);
  }
  await go("face/board", ".relief button");
  await page.locator(".relief button").click();
  await page.locator(".relief progress").waitFor();
  await at("face/board simulating");
  await page.locator(".relief img").waitFor({ timeout: 120000 });
  await at("face/board simulated");
  await go("recover/front-plate", "button.main");
  for (const many of [0, 1]) {
    await page.locator("[role=group] button").nth(many).click();
    await page.locator("button.main").last().click();
    await page.locator("#view section .answer").waitFor({ timeout: 60000 });
    await at("recover found");
  }
  await go("bench/front-plate/1", ".whole");
  await page.locator(".whole").click();
  await at("bench rubbing");
  await page.locator(".whole").click();
  await at("bench look");
  await go("bench/filed-plate/1", ".whole");
  await go("bench/front-plate/9", ".use");
  await go("card/front-plate", "img.paper");
  await go("quote", "form");
  await page.locator("form button.main, button.main").last().click();
  await page.locator("textarea").waitFor({ timeout: 60000 });
  await at("quote worked out");
  for (const q of ["", "400", "P220", "4/0", "A60K5V", "xyzzy"]) await go(`grits/${encodeURIComponent(q)}`, q ? ".answer, .warn" : "input");
  await go("wall/600", ".sizes");
  await go("unmarked", "h2");
  await go("check", "li");
  await go("faults", "details");
  await go("readings", "input");
  for (const to of ["shop", "drawer", "log", "learned", "exercises", "exercise/1", "class/1"]) await go(to, ".answer, .card, form");
  await page.waitForTimeout(400);
  await at("class");
  await go("exercise/1", "form");
  await page.locator("main button").last().click();
  await page.locator("main table").last().waitFor();
  await at("exercise key");
  await go("safety", ".warn");
  const more = page.locator("#view section > button");
  if (await more.count()) await more.last().click();
  await at("safety all");
  const options = (n) => page.locator("select").nth(n).locator("option").evaluateAll((all) => all.map((o) => o.value));
  for (const n of [0, 1, 2])
    for (const v of await options(n)) {
      await page.locator("select").nth(n).selectOption(v);
      await page.waitForTimeout(120);
      if (await more.count() && /\d/.test(await more.last().innerText())) await more.last().click();
      await at(`safety ${n} ${v}`);
    }
  await go("settings", "h2");
  await go("keys", "table");
}
