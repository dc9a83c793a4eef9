// SPDX-License-Identifier: GPL-3.0-or-later
// Pictures of every screen, for people to look at: shots.mjs PROGRAM FOLDER [SCREEN [all]]
// Each in both languages, at three widths; light and dark take turns, "all" has each in both.
import { serve, browser, draft, plate } from "./lib.mjs";
const [program, folder, only, all] = process.argv.slice(2);
const screens = ["", "grits/400", "unmarked", "wall/600", "new/1", "new/2", "new/3", "new/4", "new/5", "job", "face/front-plate", "bench/front-plate/1", "card/front-plate", "recover/front-plate", "exercises", "exercise/1", "class/1", "readings", "shop", "drawer", "log", "learned", "quote", "keys", "check", "faults", "safety", "settings"].filter((s) => !only || s.startsWith(only));
const s = await serve(program), b = await browser();
const post = (at, body) => fetch(new URL(at, s.address), { method: "POST", body: JSON.stringify(body), headers: { "Content-Type": "application/json", "X-Levigate": "1" } }).then((r) => r.json());
const made = await post("/api/exercise", { act: "make", kind: "planted-line", seed: 7 });
for (const [round, off] of [[1, 3], [2, 1.4]])
  for (const sheet of [1, 2, 3]) await post("/api/exercise", { act: "guess", number: 1, sheet, round, guesses: made.coupons.map((c, i) => `${c.code}=${Math.round(40 * off ** (i + sheet - 3))}`).join(" ") });
const second = { ...plate, name: "back-plate", start: { kind: "process", process: "filed" } };
await post("/api/job?act=add", draft([plate, second]).job);
await post(`/api/job?act=start&name=${encodeURIComponent("bracket clock (invented)")}&no_log=1`, {});
for (const [what, pieces] of [["P240", 10], ["P400", 4], ["P800", 6]]) await post("/api/drawer", { act: "add", what, pieces, size: "230x280", price: "1.10 EUR", reorder_at: 5 });
for (const line of ["5m 1/2 sheet keep-at-it", "2m next-grit; paper tired"]) await post("/api/log", { job: "bracket clock (invented)", face: "front-plate", number: 1, who: "RB", line, sure: true });
const shapes = [320, 420, 1280].flatMap((width, i) => ["en", "de"].flatMap((lang, k) => [false, true].filter((dark) => all || dark === ((i + k) % 2 === 1)).map((dark) => [width, lang, dark])));
for (const [width, lang, dark] of shapes) {
  const page = await (await b.newContext({ viewport: { width, height: width > 1000 ? 800 : 2 * width }, colorScheme: dark ? "dark" : "light" })).newPage();
  page.on("pageerror", (e) => console.log(`${width}: ${e}`));
  page.on("console", (m) => m.type() === "error" && console.log(`${width}: ${m.text()}`));
  await page.goto(s.address);
  const draftHere = { ...draft([plate, second]), shop: { name: "bracket clock (invented)", version: 1 } };
  await page.evaluate(([d, g]) => { localStorage.setItem("levigate-draft", d); localStorage.setItem("levigate-guide", g); }, [JSON.stringify(draftHere), JSON.stringify({ material: "brass_260", touch: "", start: "d:nail-tick", um: 11, how: "nail", look: "satin", next: "none", drives: [], l: "100", w: "50", shape: "flat" })]);
  if (lang !== "en") await page.evaluate(async (l) => (await import("/web/words.js")).useLanguage(l, document.body.dataset.version), lang);
  await page.reload();
  for (const at of screens) {
    await page.evaluate((h) => { location.hash = h; }, `#/${at}`);
    await page.waitForTimeout(/face|bench|card|job|recover|new.3/.test(at) ? 2000 : 500);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth > innerWidth);
    if (wide) console.log(`${width}: ${at} runs over the side`);
    await page.screenshot({ path: `${folder}/${at.replace(/\W/g, "_") || "home"}-${lang}-${width}${dark ? "-dark" : ""}.png`, fullPage: !/bench|wall/.test(at) });
  }
  await page.context().close();
}
await b.close(); await s.stop();
