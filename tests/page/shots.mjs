// SPDX-License-Identifier: GPL-3.0-or-later
// Pictures of every screen, for people to look at: shots.mjs PROGRAM FOLDER
import { serve, browser, draft, plate } from "./lib.mjs";
const [program, folder, only] = process.argv.slice(2);
const screens = ["", "grits/400", "unmarked", "wall/600", "new/1", "new/2", "new/3", "new/4", "new/5", "job", "face/front-plate", "bench/front-plate/1", "card/front-plate", "recover/front-plate", "exercises", "exercise/1", "class/1", "readings", "shop", "drawer", "log", "learned", "quote", "keys", "check", "faults", "safety", "settings"].filter((s) => !only || s.startsWith(only));
const s = await serve(program), b = await browser();
const post = (at, body) => fetch(new URL(at, s.address), { method: "POST", body: JSON.stringify(body), headers: { "Content-Type": "application/json", "X-Levigate": "1" } }).then((r) => r.json());
const made = await post("/api/exercise", { act: "make", kind: "planted-line", seed: 7 });
for (const [round, off] of [[1, 3], [2, 1.4]])
  for (const sheet of [1, 2, 3]) await post("/api/exercise", { act: "guess", number: 1, sheet, round, guesses: made.coupons.map((c, i) => `${c.code}=${Math.round(40 * off ** (i + sheet - 3))}`).join(" ") });
for (const [width, height, dark] of [[320, 640, false], [420, 860, true], [1280, 800, false]]) {
  const page = await (await b.newContext({ viewport: { width, height }, colorScheme: dark ? "dark" : "light" })).newPage();
  page.on("pageerror", (e) => console.log(`${width}: ${e}`));
  page.on("console", (m) => m.type() === "error" && console.log(`${width}: ${m.text()}`));
  await page.goto(s.address);
  await page.evaluate(([d, g]) => { localStorage.setItem("levigate-draft", d); localStorage.setItem("levigate-guide", g); }, [JSON.stringify(draft([plate])), JSON.stringify({ material: "brass_260", touch: "", start: "d:nail-tick", um: 11, how: "nail", look: "satin", next: "none", drives: [], l: "100", w: "50", shape: "flat" })]);
  await page.reload();
  for (const at of screens) {
    await page.evaluate((h) => { location.hash = h; }, `#/${at}`);
    await page.waitForTimeout(/face|bench|card|job|recover|new.3/.test(at) ? 3000 : 500);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth > innerWidth);
    if (wide) console.log(`${width}: ${at} runs over the side`);
    await page.screenshot({ path: `${folder}/${at.replace(/\W/g, "_") || "home"}-${width}.png`, fullPage: !/bench|wall/.test(at) });
  }
}
await b.close(); await s.stop();
