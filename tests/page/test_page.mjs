// SPDX-License-Identifier: GPL-3.0-or-later
// The page as a person uses it: test_page.mjs PROGRAM. Prints TAP.
import { readFileSync } from "node:fs";
import { execFileSync } from "node:child_process";
import { tour, named } from "./tour.mjs";
import { serve, browser, test, done, is, ok, draft, plate } from "./lib.mjs";
const program = process.argv[2], axe = readFileSync(new URL("./node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const s = await serve(program), b = await browser();
const open = async (options = {}, faces) => {
  const context = await b.newContext({ viewport: { width: 420, height: 860 }, ...options }), page = await context.newPage();
  page.faults = [];
  page.on("pageerror", (e) => page.faults.push(String(e)));
  await page.goto(s.address);
  if (faces) { await page.evaluate((d) => localStorage.setItem("levigate-draft", d), JSON.stringify(draft(faces))); await page.reload(); }
  return page;
};
const to = async (page, at) => { await page.evaluate((h) => { location.hash = h; }, `#/${at}`); };
const screens = ["", "grits/400", "unmarked", "wall/600", "new/1", "new/2", "new/3", "new/4", "new/5", "job", "face/front-plate", "bench/front-plate/1", "card/front-plate", "recover/front-plate", "quote", "check", "faults", "readings", "shop", "drawer", "log", "learned", "exercises", "exercise/1", "class/1", "safety", "settings", "keys"];
const wait = { "face/front-plate": "ol li", "bench/front-plate/1": ".whole", "card/front-plate": "img.paper", "grits/400": "table", "wall/600": ".sizes", "new/1": ".tile", "new/2": ".tile", "new/3": ".tile", "new/4": ".tile", safety: ".warn", check: "li", faults: "details", unmarked: "h2", quote: "form", shop: "h2", drawer: "form", log: "h2", learned: ".answer", exercises: "details", "exercise/1": "form", "class/1": ".sizes" };
const guide = JSON.stringify({ material: "brass_260", touch: "", start: "d:nail-tick", um: 11, how: "nail", look: "satin", next: "none", drives: [], l: "100", w: "50", shape: "flat" });

await test("the first screen answers all twenty questions before any form", async () => {
  const page = await open();
  is(await page.locator("#home details").count(), 20, "questions");
  is(await page.locator("#home input").count(), 0, "fields on the first screen");
  for (const a of await page.locator("#home .answer").allInnerTexts()) ok(a.length <= 60, `longer than 60: ${a}`);
  await page.getByText("Is 400 the same as P400?").click();
  ok(await page.getByText("plain 400 has grains of about 20 \u00b5m").isVisible(), "no answer shown");
  is(page.faults.join(), "", "faults"); await page.context().close();
});
await test("from nothing to a card by five questions, under two minutes", async () => {
  const page = await open(), begun = Date.now();
  await page.getByRole("link", { name: "Work out a ladder" }).click();
  await page.getByRole("button", { name: "Brass", exact: true }).click();
  await page.getByRole("button", { name: "None of it" }).click();
  await page.getByRole("button", { name: "Next" }).click();
  await page.getByRole("button", { name: "smooth file" }).click();
  await page.getByRole("button", { name: "brushed, satin" }).click();
  await page.getByRole("button", { name: "Nothing" }).click();
  await page.getByLabel("Call this face").fill("Front plate");
  await page.getByRole("button", { name: "Work out the ladder" }).click();
  await page.locator("ol li").first().waitFor({ timeout: 60000 });
  await page.getByRole("link", { name: "The card" }).click();
  await page.locator("img.paper").waitFor({ timeout: 60000 });
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "PDF to print" }).click()]);
  ok(readFileSync(await file.path()).subarray(0, 5).toString() === "%PDF-", "no PDF");
  const text = execFileSync("pdftotext", [await file.path(), "-"]).toString();
  ok(text.includes("front-plate"), "the card does not name the face");
  ok(Date.now() - begun < 120000, "took longer than two minutes"); is(page.faults.join(), "", "faults");
  await page.context().close();
});
for (const [what, tests] of [["metal", ["No magnet, yellow", "the nail stops dead both ways", "Take satin for now"]], ["wood", ["Wood, the nail hardly marks it", "the nail ticks and does not stop", "Take clean for now"]]])
  await test(`who knows nothing gets to a card by the tests offered, under two minutes: ${what}`, async () => {
    const page = await open(), begun = Date.now();
    const unsure = () => page.getByRole("button", { name: "I do not know" }).click();
    const take = (name) => page.locator("button.take", { hasText: name }).first().click();
    await page.getByRole("link", { name: "Work out a ladder" }).click();
    await unsure();
    await take(tests[0]);
    await page.getByRole("button", { name: "I cannot tell" }).click();
    await page.getByText("take None of it").waitFor();
    ok(await page.getByRole("button", { name: "Next" }).isDisabled(), "one may go on without knowing whether it may be touched");
    await page.getByRole("button", { name: "None of it" }).click();
    await page.getByRole("button", { name: "Next" }).click();
    await page.getByRole("heading", { name: "look and feel like now" }).waitFor();
    await unsure();
    await take(tests[1]);
    await page.getByRole("heading", { name: "What should it look like?" }).waitFor();
    await unsure();
    await take(tests[2]);
    await page.getByRole("heading", { name: "What goes on afterwards?" }).waitFor();
    await unsure();
    await take("Take Nothing for now");
    await page.getByRole("heading", { name: "How big" }).waitFor();
    await unsure();
    await page.getByRole("button", { name: "Work out the ladder" }).click();
    await page.locator("ol li").first().waitFor({ timeout: 60000 });
    ok(/^Start with /.test(await page.locator("#view .answer").first().innerText()), "no ladder");
    await page.getByRole("link", { name: "The card" }).click();
    await page.locator("img.paper").waitFor({ timeout: 60000 });
    ok(Date.now() - begun < 120000, "took longer than two minutes");
    is(page.faults.join(), "", "faults");
    await page.context().close();
  });
await test("every look that is offered for wood has a ladder, and a clash with what goes on it has a way on", async () => {
  const page = await open();
  await page.evaluate(() => localStorage.setItem("levigate-guide", JSON.stringify({ material: "w_oak_w", touch: "", start: "d:nail-tick", um: 11, how: "nail", next: "oil", drives: [], l: "100", w: "50", shape: "flat" })));
  await to(page, "new/3");
  await page.locator(".tile").first().waitFor();
  const n = await page.locator(".tile").count();
  for (let i = 0; i < n; i++) {
    await to(page, "new/3");
    await page.locator(".tile").nth(i).click();
    await to(page, "new/5");
    await page.getByRole("button", { name: "Work out the ladder" }).click();
    await page.locator("ol li").first().waitFor({ timeout: 60000 });
    await page.getByRole("button", { name: "Change the answers" }).click();
  }
  await page.evaluate((d) => localStorage.setItem("levigate-draft", d), JSON.stringify(draft([{ ...plate, drives: undefined, target: { kind: "look", look: "mirror" }, next: "paint" }])));
  await page.reload();
  await to(page, "face/front-plate");
  await page.getByText("exclude each other").waitFor({ timeout: 30000 });
  await page.getByRole("button", { name: "Something else goes on it" }).click();
  await page.getByRole("button", { name: "Nothing" }).click();
  await page.getByRole("button", { name: "Work out the ladder" }).click();
  await page.locator("ol li").first().waitFor({ timeout: 60000 });
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("a gilded face is left alone before any plan", async () => {
  const page = await open(); await to(page, "new/1");
  await page.getByRole("button", { name: "Brass", exact: true }).click();
  await page.getByRole("button", { name: "gilded" }).click();
  ok(await page.getByText("Leave it alone.").isVisible(), "no stop");
  ok(await page.getByRole("button", { name: "Next" }).isDisabled(), "the way on is open"); await page.context().close();
});
await test("the slider and the buttons change the ladder, and undo brings it back", async () => {
  const page = await open({}, [{ ...plate, start: { kind: "process", process: "sawn" }, size_mm: [40, 20] }]); await to(page, "face/front-plate");
  await page.locator("ol li").first().waitFor({ timeout: 60000 });
  const text = () => page.getByRole("slider").getAttribute("aria-valuetext");
  const slider = page.getByRole("slider"); await slider.scrollIntoViewIfNeeded();
  const first = await text(), box = await slider.boundingBox(), last = Number(await slider.getAttribute("max"));
  const from = Number(await slider.inputValue()), x = (v) => box.x + 8 + (box.width - 16) * v / last;
  await page.mouse.move(x(from), box.y + box.height / 2); await page.mouse.down();
  await page.mouse.move(x(from > last / 2 ? 0 : last), box.y + box.height / 2, { steps: 6 }); await page.mouse.up();
  ok(await text() !== first, "dragging changed nothing");
  await page.getByRole("button", { name: "Undo" }).click();
  while (await text() !== first) await page.keyboard.press("Control+z");
  is(await text(), first, "after undo"); await page.context().close();
});
const clock = JSON.parse(readFileSync(new URL("../../examples/clock.json", import.meta.url)));
await test("any ladder that nothing beats can be chosen, and goes to bench, card and shop", async () => {
  const page = await open({}, [clock.faces.find((f) => f.name === "front-plate")]);
  const post = (at, body) => page.evaluate(async ([path, text]) => {
    const r = await fetch(path, { method: "POST", body: text, headers: { "Content-Type": "application/json", "X-Levigate": "1" } });
    return r.text();
  }, [at, JSON.stringify(body)]);
  await to(page, "face/front-plate");
  await page.locator(".choices button").first().waitFor({ timeout: 60000 });
  const job = await page.evaluate(() => JSON.parse(localStorage.getItem("levigate-draft")).job);
  const [face] = JSON.parse(await post("/api/plan", job)).faces;
  const [choice] = face.choices;
  is(await page.locator("svg.choice circle").count(), new Set(face.pareto.map((x) => x.goal)).size, "points to choose from");
  // Touched in the picture, it is the nearest point that is taken.
  await page.locator("svg.choice circle").last().click({ force: true });
  is(await page.locator(".steps > li").count(), choice.steps.length, "steps after touching its point");
  await page.getByRole("button", { name: "Usual" }).click();
  await page.getByRole("button", { name: "In between" }).click();
  is(await page.locator(".steps > li").count(), choice.steps.length, "steps of the choice");
  for (const [i, x] of choice.steps.entries()) ok((await page.locator(".steps .name").nth(i).innerText()).includes(x.label), `step ${i + 1}: ${x.label}`);
  await page.locator(".mirror .under li").first().waitFor();
  await page.locator(".steps summary").first().click();
  await page.getByText("If it is left out:").first().waitFor({ timeout: 60000 });
  await to(page, "card/front-plate");
  await page.locator("img.paper").waitFor({ timeout: 60000 });
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "PDF to print" }).click()]);
  const text = execFileSync("pdftotext", ["-raw", await file.path(), "-"]).toString();
  for (const x of choice.steps) ok(text.includes(x.label.split(" ")[0]), `the card lacks ${x.label}`);
  const gone = face.ladders[0].steps.find((u) => !choice.steps.some((x) => x.label === u.label));
  ok(gone === undefined || !text.includes(gone.label), "the card has a step of the usual ladder");
  await to(page, "bench/front-plate/1");
  await page.getByText(`step 1 of ${choice.steps.length}`).waitFor({ timeout: 60000 });
  await page.evaluate(() => { const d = JSON.parse(localStorage.getItem("levigate-draft")); d.job.name = "chosen (invented)"; localStorage.setItem("levigate-draft", JSON.stringify(d)); });
  await page.reload();
  await to(page, "shop");
  await page.getByRole("button", { name: "Keep it in the shop" }).click();
  await page.getByRole("button", { name: /chosen \(invented\)/ }).waitFor();
  await to(page, "bench/front-plate/1");
  await page.locator(".whole").click({ timeout: 60000 });
  await page.locator(".whole").click();
  await page.getByRole("button", { name: /No old line left/ }).click();
  let steps = [];
  for (let i = 0; i < 100 && !steps.length; i++) {
    await page.waitForTimeout(100);
    steps = await page.evaluate(async () => (await (await fetch("/api/job?act=show&name=chosen%20(invented)")).json()).steps ?? []);
  }
  is(steps.map((x) => x.label).join(), choice.steps.map((x) => x.label).join(), "steps frozen");
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("at the bench: start, look, keep at it, next, and the log of it", async () => {
  const page = await open({}, [plate]); await to(page, "bench/front-plate/1");
  await page.locator(".whole").click({ timeout: 60000 });
  await page.locator(".whole").click();
  ok(await page.getByText("Look now", { exact: true }).isVisible(), "no call to look");
  await page.getByRole("button", { name: "Keep at it" }).click();
  await page.locator(".whole").click();
  await page.getByRole("button", { name: /No old line left/ }).click();
  await page.waitForFunction(() => /bench\/front-plate\/2/.test(location.hash));
  const notes = await page.evaluate(() => JSON.parse(localStorage.getItem("levigate-draft")).notes["done:front-plate"].map((n) => n.verdict).join());
  is(notes, "keep-at-it,next-grit", "verdicts kept"); await page.context().close();
});
await test("the clock of the bench calls to look by itself, never says done", async () => {
  const page = await open({}, [plate]); await page.clock.install(); await to(page, "bench/front-plate/1");
  await page.locator(".whole").click({ timeout: 60000 });
  await page.clock.runFor(1000); await page.clock.fastForward(3600 * 1000); await page.clock.runFor(2000);
  ok(await page.getByText("Look now", { exact: true }).isVisible(), "no call after an hour");
  ok(!/\bdone\b/i.test(await page.locator(".bench").innerText()), "says done"); await page.context().close();
});
await test("two tabs that edit the same job are told, and neither wins silently", async () => {
  const one = await open({}, [plate]), two = await one.context().newPage();
  await two.goto(`${s.address}#/job`); await to(one, "job");
  await one.getByLabel("Name of the piece").fill("mine"); await one.keyboard.press("Tab");
  await two.getByLabel("Name of the piece").fill("first of two"); await two.keyboard.press("Tab");
  await two.getByLabel("Name of the piece").fill("theirs"); await two.keyboard.press("Tab");
  await one.getByText("changed in another tab").waitFor();
  await one.getByRole("button", { name: "Keep mine" }).click();
  is(await one.getByLabel("Name of the piece").inputValue(), "mine", "name"); await one.context().close();
});
await test("a real X3P is measured, a broken one is told in one line", async () => {
  const page = await open(); await to(page, "readings");
  const file = new URL("../golden/metrology/data/ski_base_ground.x3p", import.meta.url);
  await page.getByLabel("The file").setInputFiles(file.pathname); await page.getByText(/^Sa [0-9.]+/).waitFor({ timeout: 30000 });
  const want = JSON.parse(execFileSync(program, ["trace", file.pathname, "--json"]));
  ok((await page.locator("#view .answer").innerText()).includes(String(Number(want.Sa_um.toPrecision(3)))), "another Sa than the command line");
  await page.getByLabel("The file").setInputFiles({ name: "x.x3p", mimeType: "application/octet-stream", buffer: Buffer.from("PK\u0003\u0004 no zip") });
  await page.getByRole("alert").waitFor(); is(page.faults.join(), "", "faults"); await page.context().close();
});
await test("a reading taken after a step says whether that step is done", async () => {
  const page = await open({}, [plate]);
  await to(page, "readings");
  await page.getByLabel("Measured on").selectOption("front-plate");
  await page.getByLabel("After step").locator("option[value='0']").waitFor({ state: "attached", timeout: 60000 });
  await page.getByLabel("After step").selectOption(await page.getByLabel("After step").locator("option").last().getAttribute("value"));
  await page.getByLabel("The file").setInputFiles(new URL("../golden/metrology/data/ski_base_ground.x3p", import.meta.url).pathname);
  // Sa 15.6 um of a ground ski base is far above what fine paper leaves on brass.
  await page.getByText("Keep at it", { exact: true }).waitFor({ timeout: 60000 });
  await page.getByAltText(/^Report of/).waitFor({ timeout: 60000 });
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("a reading is judged by the ladder that was chosen, not the usual one", async () => {
  const page = await open({}, [clock.faces.find((f) => f.name === "front-plate")]);
  await to(page, "face/front-plate");
  await page.getByRole("button", { name: "In between" }).click({ timeout: 60000 });
  const job = await page.evaluate(() => localStorage.getItem("levigate-draft"));
  const [face] = await page.evaluate(async (body) => (await (await fetch("/api/plan", { method: "POST", body, headers: { "Content-Type": "application/json", "X-Levigate": "1" } })).json()).faces, JSON.stringify(JSON.parse(job).job));
  const [choice] = face.choices, usual = face.ladders[0];
  const last = choice.steps.length - 1;
  await to(page, "readings");
  await page.getByLabel("Measured on").selectOption("front-plate");
  await page.getByLabel("After step").selectOption(String(last), { timeout: 60000 });
  is((await page.getByLabel("After step").locator("option").allInnerTexts()).slice(1).map((t) => t.replace(/^\d+\. /, "")).join(), choice.steps.map((x) => x.label).join(), "steps to choose from");
  ok(JSON.stringify(choice.steps) !== JSON.stringify(usual.steps), "the two ladders do not differ");
  const asked = page.waitForRequest(/api\/trace/);
  await page.getByLabel("The file").setInputFiles(new URL("../golden/metrology/data/ski_base_ground.x3p", import.meta.url).pathname);
  is(new URL((await asked).url()).searchParams.get("expect_ra_um"), String(choice.steps[last].Ra_after_um.p50), "Ra it is held against");
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("a draft outlives a reload, a deep link opens its screen, back goes back", async () => {
  const page = await open({}, [plate]); await to(page, "job"); await to(page, "grits/P220");
  await page.reload(); await page.locator("table").waitFor();
  await page.goBack(); ok(await page.getByRole("heading", { name: "front-plate" }).isVisible(), "job is gone"); await page.context().close();
});
await test("without the server the page says so and keeps the draft", async () => {
  const page = await open({}, [plate]); await to(page, "job"); await page.getByRole("heading", { name: "front-plate" }).waitFor();
  await page.context().setOffline(true); await page.getByText("does not answer").waitFor();
  ok(await page.getByRole("heading", { name: "front-plate" }).isVisible(), "draft is gone"); await page.context().close();
});
await test("by keyboard alone: questions, grits, the list of keys, and back", async () => {
  const page = await open(); await page.keyboard.press("?");
  await page.getByRole("heading", { name: "Keys" }).waitFor(); await page.keyboard.press("Escape");
  await page.keyboard.press("g"); await page.getByRole("heading", { name: "What is this grit?" }).waitFor();
  await page.getByLabel("Type what is printed").focus(); await page.keyboard.type("F400"); await page.keyboard.press("Enter");
  await page.locator("table").waitFor(); ok((await page.locator("#view .answer").innerText()).includes("F400"), "no answer"); await page.context().close();
});
await test("a class: codes dealt out, sheets taken in before and after, the error halved", async () => {
  const page = await open();
  await to(page, "exercises");
  await page.locator("#view details").first().waitFor();
  is(await page.locator("#view details").count(), 7, "exercises");
  await page.getByText("find the planted line").click();
  await page.getByRole("button", { name: "Deal out the codes" }).locator("visible=true").click();
  await page.getByText("Write on the coupons").waitFor();
  is(await page.evaluate(() => location.hash), "#/exercise/1", "the first exercise");
  const key = await page.evaluate(async () => (await fetch("/api/exercise?act=key&number=1")).json());
  ok(!(await page.locator("#view").innerText()).includes(key.coupons[0].words), "the truth is told beforehand");
  const codes = (await page.locator(".codes b").allInnerTexts()).join();
  is(codes, key.coupons.map((c) => c.code).join(), "codes");
  const fill = async (by) => {
    for (const c of key.coupons) await page.getByLabel(`Guess for ${c.code}`).fill(String(Number((c.truth * by).toPrecision(4))).replace(".", ","));
    await page.getByRole("button", { name: "Take it in" }).click();
    await page.getByText(/^Sheet \d+ is in\.$/).waitFor();
    await page.waitForFunction(() => [...document.querySelectorAll("form input[inputmode=decimal]")].every((x) => x.value === ""));
  };
  await fill(4); // sheet 1, four times too large
  await page.getByText("Off by 4 times").first().waitFor();
  is(await page.getByLabel("Number of the sheet").inputValue(), "2", "next sheet");
  await fill(1 / 4); // sheet 2, a quarter
  await page.getByRole("button", { name: "After measuring" }).click();
  await page.getByLabel("Number of the sheet").fill("1");
  await page.getByLabel("unsure").first().check();
  for (const c of key.coupons.slice(1)) await page.getByLabel(`Guess for ${c.code}`).fill(String(Number((c.truth * 2).toPrecision(4))));
  await page.getByRole("button", { name: "Take it in" }).click();
  await page.getByText("The error is halved.").first().waitFor();
  await to(page, "class/1");
  await page.getByText("Off by 2 times").waitFor();
  const sheets = await page.evaluate(async () => {
    const r = await fetch("/api/worksheet?number=1&copies=3");
    return [...new Uint8Array(await r.arrayBuffer())];
  });
  const info = execFileSync("pdfinfo", ["-"], { input: Buffer.from(sheets) }).toString();
  ok(/Pages:\s+3/.test(info), info);
  await to(page, "exercise/1");
  await page.getByRole("button", { name: "Show the truth and why" }).click();
  await page.getByText(key.coupons[0].words).first().waitFor();
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("with scripting off the questions and the plain forms stand", async () => {
  const page = await open({ javaScriptEnabled: false });
  is(await page.locator("details").count(), 20, "questions");
  await page.getByLabel("What is printed").fill("P220"); await page.getByRole("button", { name: "What is it" }).click();
  ok((await page.locator("table").innerText()).includes("P220"), "no table"); await page.context().close();
});
for (const [width, dark] of [[320, false], [420, true], [1280, false]])
  await test(`nothing runs over the side, targets are 44 px, no fault of access: ${width} px${dark ? ", dark" : ""}`, async () => {
    const page = await open({ viewport: { width, height: 800 }, colorScheme: dark ? "dark" : "light", bypassCSP: true }, [plate]);
    await page.evaluate((g) => localStorage.setItem("levigate-guide", g), guide); await page.addScriptTag({ content: axe });
    await page.evaluate(async () => { // an exercise to look at, unless a test before made one
      const post = (body) => fetch("/api/exercise", { method: "POST", body: JSON.stringify(body), headers: { "Content-Type": "application/json", "X-Levigate": "1" } }).then((r) => r.json());
      if ((await (await fetch("/api/exercise")).json()).kept.length) return;
      const x = await post({ act: "make", kind: "planted-line" });
      await post({ act: "guess", number: x.exercise, sheet: 1, round: 1, guesses: x.coupons.map((c) => `${c.code}=40`).join(" ") });
    });
    for (const at of screens) {
      await to(page, at); if (wait[at]) await page.locator(`main:not([hidden]) ${wait[at]}`).first().waitFor({ timeout: 60000 });
      ok(!await page.evaluate(() => document.documentElement.scrollWidth > innerWidth), `${at} runs over the side`);
      const small = await page.evaluate(() => [...document.querySelectorAll("button,a.button,summary,input,select,nav a")].filter((e) => e.offsetParent && !e.closest("label.tick,label.button") && e.getBoundingClientRect().height < 44).map((e) => e.outerHTML.slice(0, 90)));
      is(small.join(), "", `${at}: smaller than 44 px`);
      const r = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
      is(r.violations.map((v) => `${v.id}: ${v.nodes[0].html.slice(0, 140)} ${v.nodes[0].failureSummary}`).join("\n"), "", at);
    }
    is(page.faults.join(), "", "faults"); await page.context().close();
  });
await test("printed from the browser it says what the card says", async () => {
  const page = await open({}, [plate]);
  await to(page, "face/front-plate");
  await page.locator("ol li").first().waitFor();
  const job = JSON.stringify(draft([plate]).job);
  const post = (at) => page.evaluate(async ([path, body]) => {
    const r = await fetch(path, { method: "POST", body, headers: { "Content-Type": "application/json", "X-Levigate": "1" } });
    return [...new Uint8Array(await r.arrayBuffer())];
  }, [at, job]);
  const [face] = JSON.parse(Buffer.from(await post("/api/plan"))).faces;
  const words = (pdf) => {
    const text = execFileSync("pdftotext", ["-raw", "-", "-"], { input: pdf }).toString();
    return text.toLowerCase().replace(/[^a-z0-9]+/g, " ");
  };
  const card = words(Buffer.from(await post("/api/card?format=pdf")));
  const printed = words(await page.pdf({ format: "A4" }));
  const plain = (t) => t.toLowerCase().replace(/[^a-z0-9]+/g, " ").trim();
  for (const step of face.ladders[0].steps)
    for (const fact of [step.label, step.check, step.stop_if]) {
      ok(card.includes(plain(fact)), `the card does not say: ${fact}`);
      ok(printed.includes(plain(fact)), `the print does not say: ${fact}`);
    }
  for (const c of face.cautions) {
    const begin = plain(c.text).split(" ").slice(0, 5).join(" ");
    ok(card.includes(begin), `the card does not warn: ${begin}`);
    ok(printed.includes(begin), `the print does not warn: ${begin}`);
  }
  await page.emulateMedia({ media: "print" });
  ok(!await page.locator(".top").isVisible(), "the bar is printed");
  await page.context().close();
});
await test("the ladder shows sizes, what each step leaves, and what it will reflect", async () => {
  const page = await open({}, [{ ...plate, start: { kind: "process", process: "filed" } }]);
  await to(page, "face/front-plate");
  await page.locator(".mirror img").waitFor({ timeout: 60000 });
  await page.locator(".mirror img").scrollIntoViewIfNeeded();
  await page.waitForFunction(() => document.querySelector(".mirror img").naturalWidth > 100, null, { timeout: 60000 });
  const steps = await page.locator(".steps > li").count();
  is(await page.locator(".mirror .under li").count(), steps, "captions under the strip");
  ok(await page.getByLabel("Ra after each step, on a log axis").isVisible(), "no Ra axis");
  await page.locator("summary").first().click();
  ok(await page.getByText("If it is left out:").first().isVisible(), "no word on leaving it out");
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("a long plan of one face moves while it is worked out, and can be left off and taken up", async () => {
  const page = await open({}, [{ ...plate, material: "ss_304", drives: undefined, next: "none", start: { kind: "process", process: "cast" }, target: { kind: "look", look: "mirror" } }]);
  await to(page, "face/front-plate");
  await page.getByRole("button", { name: "Leave off" }).click({ force: true, timeout: 30000 });
  const again = page.getByRole("button", { name: "Work it out again" });
  await again.waitFor({ timeout: 30000 });
  const seen = page.evaluate(() => new Promise((done) => {
    const all = [];
    const watch = setInterval(() => {
      const n = document.body.innerText.match(/(\d+) ladders begun to find the best/)?.[1];
      if (n && all.at(-1) !== Number(n)) all.push(Number(n));
      if (document.querySelector(".steps li")) { clearInterval(watch); done(all); }
    }, 40);
  }));
  await again.click();
  await page.locator("ol li").first().waitFor({ timeout: 120000 });
  const all = await seen;
  ok(all.length >= 2 && all.every((n, i) => !i || n > all[i - 1]), `ladders begun: ${all.join()}`);
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("the simulated face shows how far it is, can be left off, and follows the ladder chosen", async () => {
  const page = await open({}, [clock.faces.find((f) => f.name === "front-plate")]);
  await to(page, "face/front-plate");
  await page.getByRole("button", { name: "In between" }).click({ timeout: 60000 });
  const button = page.getByRole("button", { name: "Simulate the face" });
  const bar = page.getByRole("progressbar", { name: "Simulating the face" });
  const share = () => bar.evaluate((e) => e.value);
  await button.click();
  await page.waitForFunction(() => document.querySelector("progress")?.value >= 2, null, { timeout: 60000 });
  const some = await share();
  await page.waitForFunction((n) => document.querySelector("progress")?.value > n, some, { timeout: 60000 });
  await page.getByRole("button", { name: "Leave off" }).click();
  await button.waitFor({ timeout: 10000 });
  is(await page.locator("#view [role=alert]").count(), 0, "leaving off is no fault");
  await button.click();
  await page.waitForFunction(() => document.querySelector("progress")?.value >= 1, null, { timeout: 60000 });
  const cancelled = page.waitForRequest(/api\/cancel/);
  await to(page, "job"); // who goes away wants it no more
  await cancelled;
  await to(page, "face/front-plate");
  await button.click({ timeout: 60000 });
  await page.locator(".relief img").waitFor({ timeout: 180000 });
  await page.waitForFunction(() => document.querySelector(".relief img").naturalWidth >= 400);
  const rows = await page.locator(".relief li b").allInnerTexts(), names = await page.locator(".steps .name").allInnerTexts();
  for (const x of names) ok(rows.some((r) => r.startsWith(x.replace(/^\d+\. /, ""))) || await page.getByText(/left out/).count(), `step ${x} is not in ${rows}`);
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("the answers of a face can be given again, and undone", async () => {
  const page = await open({}, [plate]);
  await to(page, "face/front-plate");
  await page.getByRole("button", { name: "Change the answers" }).click({ timeout: 60000 });
  await to(page, "new/5");
  await page.getByLabel("Length, mm").fill("60,5");
  await page.getByRole("button", { name: "Work out the ladder" }).click();
  await page.locator("ol li").first().waitFor({ timeout: 60000 });
  const size = () => page.evaluate(() => JSON.parse(localStorage.getItem("levigate-draft")).job.faces.map((f) => f.size_mm.join("x")).join());
  is(await size(), "60.5x50", "size after");
  await page.keyboard.press("Control+z");
  is(await size(), "100x50", "size after undo");
  await page.context().close();
});
await test("inches are typed and shown, millimetres are kept", async () => {
  const page = await open({}, [plate]);
  await to(page, "settings");
  await page.getByRole("button", { name: "Inch" }).click();
  await to(page, "face/front-plate");
  await page.locator(".steps > li").first().waitFor({ timeout: 60000 });
  const text = await page.locator("#view").innerText();
  ok(/thou/.test(text) && !/\d \u00b5m/.test(text), "micrometres are left");
  await page.getByRole("button", { name: "Change the answers" }).click();
  await to(page, "new/5");
  is(await page.getByLabel("Length, in").inputValue(), "3.937", "100 mm in inches");
  await page.context().close();
});
await test("a language file changes the words, and a broken one nothing", async () => {
  const page = await open();
  await to(page, "settings");
  const file = (text) => ({ name: "de.json", mimeType: "application/json", buffer: Buffer.from(text) });
  const input = page.getByLabel("Open a language file");
  await input.setInputFiles(file("{}"));
  await page.getByRole("alert").waitFor();
  await input.setInputFiles(file(JSON.stringify({ lang: "de", sentences: { Grits: "Körnungen", "What number do I start with?": "Womit fange ich an?" } })));
  await page.getByRole("link", { name: "Körnungen" }).waitFor();
  is(await page.evaluate(() => document.documentElement.lang), "de", "language of the page");
  await to(page, "");
  ok(await page.getByText("Womit fange ich an?").isVisible(), "the questions stay English");
  await page.context().close();
});
await test("in German, at 320 px: every sentence of every screen, and nothing runs over", async () => {
  const own = await serve(program);
  const page = await (await b.newContext({ viewport: { width: 320, height: 700 } })).newPage();
  const faults = [];
  page.on("pageerror", (e) => faults.push(String(e)));
  await page.goto(`${own.address}#/settings`);
  await page.getByRole("button", { name: "Deutsch" }).click();
  await page.getByRole("heading", { name: "Einstellungen" }).waitFor();
  is(await page.evaluate(() => document.documentElement.lang), "de", "language of the page");
  const left = new Set(), wide = new Set();
  await tour(page, own.address, async (at) => {
    const [missing, over] = await page.evaluate(async () => [(await import("/web/words.js")).missing(), document.documentElement.scrollWidth > innerWidth]);
    for (const m of missing) if (!named(m)) left.add(m);
    if (over) wide.add(at);
  });
  is([...left].join("\n"), "", "not translated");
  is([...wide].join(), "", "runs over the side");
  is(faults.join(), "", "faults");
  await page.goto(`${own.address}#/settings`);
  await page.getByRole("button", { name: "English" }).click();
  await page.getByRole("heading", { name: "Settings" }).waitFor();
  await page.context().close();
  await own.stop();
});
await test("in German a mistake of the server is told in German, by its code where it has no sentence", async () => {
  const page = await open();
  await to(page, "settings");
  await page.getByRole("button", { name: "Deutsch" }).click();
  await page.getByRole("heading", { name: "Einstellungen" }).waitFor();
  const said = (path, body) => page.evaluate(async ([p, b]) => {
    const [{ ask }, { say }] = await Promise.all([import("/web/base.js"), import("/web/words.js")]);
    return ask(p, b).then(() => "no mistake", (e) => say(e.message));
  }, [path, body]);
  const job = draft([plate]).job;
  for (const [path, body, wanted] of [
    ["/api/nothing", undefined, /^Das gibt es hier nicht/],
    ["/api/job?act=show&name=nobody", undefined, /^Das ist hier nicht bekannt/],
    ["/api/plan", { ...job, faces: [{ ...plate, size_mm: [-1, 2] }] }, /^(Etwas Eingegebenes stimmt nicht|Eine Zahl liegt außerhalb|Das lässt sich nicht lesen)/],
    ["/api/plan", { ...job, name: "x".repeat(2 << 20) }, /^Das ist zu groß/],
    ["/api/quote?corners=-1", job, /^Eine Zahl liegt außerhalb|^corners/],
    ["/api/card?paper=A9", job, /^Etwas Eingegebenes stimmt nicht/],
  ]) {
    const text = await said(path, body);
    ok(wanted.test(text), `${path}: ${text}`);
  }
  await to(page, "drawer"); // and where it is shown
  await page.locator("form input").first().fill("400");
  await page.getByRole("button", { name: "Hineinlegen" }).click();
  ok(/kann mehreres sein/.test(await page.getByRole("alert").innerText()), await page.getByRole("alert").innerText());
  await page.evaluate(() => localStorage.removeItem("levigate-language"));
  await page.context().close();
});
await test("a picture of heights is asked for its scale, then drawn", async () => {
  const page = await open();
  await to(page, "readings");
  const grey = await page.evaluate(() => {
    const c = document.createElement("canvas");
    c.width = c.height = 64;
    const d = c.getContext("2d");
    for (let x = 0; x < 64; x++) { d.fillStyle = `rgb(${x % 8 * 20},${x % 8 * 20},${x % 8 * 20})`; d.fillRect(x, 0, 1, 64); }
    return c.toDataURL("image/png").split(",")[1];
  });
  await page.getByLabel("The file").setInputFiles({ name: "heights.png", mimeType: "image/png", buffer: Buffer.from(grey, "base64") });
  await page.getByRole("alert").waitFor({ timeout: 30000 });
  const said = await page.getByRole("alert").innerText();
  ok(/spacing|grey/i.test(said), `said: ${said}`);
  await page.context().close();
});
await test("a phone on the plain network is told what it cannot do", async () => {
  const lan = await serve(program, "--lan");
  const page = await (await b.newContext()).newPage();
  await page.goto(lan.address);
  await page.evaluate((d) => localStorage.setItem("levigate-draft", d), JSON.stringify(draft([plate])));
  ok(!await page.evaluate(() => isSecureContext), "a plain address counts as secure here");
  await page.goto(`${new URL("/", lan.address)}#/bench/front-plate/1`);
  await page.reload();
  await page.getByText("set the phone not to sleep").waitFor({ timeout: 60000 });
  await page.context().close();
  await lan.stop();
});
await test("where the context is secure it is kept and opens without the server", async () => {
  const own = await serve(program);
  const page = await (await b.newContext()).newPage();
  await page.goto(own.address);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.reload();
  await page.waitForFunction(() => navigator.serviceWorker.controller);
  await page.waitForTimeout(500);
  await own.stop();
  await page.reload();
  await page.getByText("What number do I start with?").waitFor();
  await page.getByText("does not answer").waitFor();
  await page.context().close();
});
await test("the drawer: put in, taken, counted, and shown among the grits", async () => {
  const page = await open();
  await to(page, "drawer");
  await page.getByLabel("What is printed on it").fill("P240");
  await page.getByLabel("Size, mm").fill("230x280");
  await page.getByLabel("Price of one").fill("1,10 EUR");
  await page.getByRole("button", { name: "Put it in" }).click();
  await page.locator("summary", { hasText: "P240" }).click();
  await page.getByRole("button", { name: "Take one" }).click();
  await page.locator("summary b", { hasText: /^9$/ }).waitFor();
  await page.getByLabel("How many are there").fill("7");
  await page.getByRole("button", { name: "Counted" }).click();
  await page.locator("summary b", { hasText: /^7$/ }).waitFor();
  await page.getByLabel("What is printed on it").fill("400");
  await page.getByRole("button", { name: "Put it in" }).click();
  ok(/several|could be|system/i.test(await page.getByRole("alert").innerText()), "a bare number was guessed");
  await to(page, "grits/P240");
  await page.getByText("in your drawer: P240").waitFor();
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
const rename = async (page, name) => { await page.getByLabel("Name of the piece").fill(name); await page.keyboard.press("Tab"); };
await test("two devices: a job kept in the shop follows, and a conflict is told", async () => {
  const one = await open({}, [plate]);
  await to(one, "shop");
  await one.getByRole("button", { name: "Keep it in the shop" }).click();
  await to(one, "job");
  await one.getByText("version 1").waitFor();
  const two = await open();
  await to(two, "shop");
  await two.getByRole("button", { name: /bracket clock/ }).click();
  await two.getByRole("heading", { name: "front-plate" }).waitFor();
  await rename(two, "clock, second device");
  await two.getByText("version 2").waitFor();
  await one.waitForFunction(() => document.getElementById("jn")?.value === "clock, second device");
  // Now both change it before either has heard of the other.
  await one.route("**/api/job?act=change**", async (r) => { await new Promise((go) => setTimeout(go, 2500)); await r.continue(); });
  await rename(one, "mine");
  await one.waitForTimeout(1300);
  await rename(two, "theirs");
  await one.getByText("changed on another device").waitFor({ timeout: 15000 });
  await one.unroute("**/api/job?act=change**");
  await one.getByRole("button", { name: "Keep mine" }).click();
  await two.waitForFunction(() => document.getElementById("jn")?.value === "mine", null, { timeout: 15000 });
  is(one.faults.join() + two.faults.join(), "", "faults");
  await one.context().close();
  await two.context().close();
});
await test("a step at the bench stands in the shop's log, and undo takes it out", async () => {
  const page = await open({}, [{ ...plate, name: "logged-plate" }]);
  await page.evaluate(() => { const d = JSON.parse(localStorage.getItem("levigate-draft")); d.job.name = "logged (invented)"; localStorage.setItem("levigate-draft", JSON.stringify(d)); });
  await page.reload();
  await to(page, "shop");
  await page.getByRole("button", { name: "Keep it in the shop" }).click();
  await page.getByRole("button", { name: /logged \(invented\)/ }).waitFor();
  await to(page, "bench/logged-plate/1");
  await page.clock.install();
  await page.locator(".whole").click({ timeout: 60000 });
  await page.clock.runFor(180 * 1000);
  await page.getByRole("button", { name: "paper tired" }).click();
  await page.getByRole("button", { name: /No old line left/ }).click();
  const log = async () => {
    const r = await page.evaluate(async () => (await fetch("/api/log?face=logged-plate")).json());
    ok(r.entries, `no log: ${JSON.stringify(r)}`);
    return r.entries;
  };
  for (let i = 0; i < 50 && !(await log()).length; i++) await page.waitForTimeout(100);
  const [entry] = await log();
  is(entry.verdict, "next-grit", "verdict");
  is(entry.words, "paper tired", "words");
  ok(entry.work_s >= 60 && entry.work_s <= 190, `seconds logged: ${entry.work_s}`);
  await page.keyboard.press("Control+z");
  for (let i = 0; i < 50 && !(await log())[0].undone; i++) await page.waitForTimeout(100);
  ok((await log())[0].undone, "the entry stays in the log");
  await to(page, "log");
  await page.getByLabel("Time, paper, weight, reading").fill("9h");
  await page.getByRole("button", { name: "Log it" }).click();
  await page.getByRole("button", { name: "Yes, log it" }).click();
  await page.getByText("Planned against done").waitFor();
  await to(page, "learned");
  await page.getByText("Predicted against actual").waitFor();
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("a photo goes with an entry of the log, and is shown there small", async () => {
  const page = await open({}, [{ ...plate, name: "shown-plate" }]);
  await page.evaluate(() => { const d = JSON.parse(localStorage.getItem("levigate-draft")); d.job.name = "shown (invented)"; localStorage.setItem("levigate-draft", JSON.stringify(d)); });
  await page.reload();
  await to(page, "bench/shown-plate/1");
  await page.locator(".whole").click({ timeout: 60000 });
  await page.locator(".whole").click();
  ok(await page.getByText("A photo can go with it once").isVisible(), "no word on where photos are kept");
  await to(page, "shop");
  await page.getByRole("button", { name: "Keep it in the shop" }).click();
  await page.getByRole("button", { name: /shown \(invented\)/ }).waitFor();
  await to(page, "bench/shown-plate/1");
  await page.locator(".whole").click({ timeout: 60000 });
  await page.locator(".whole").click();
  const jpeg = await page.evaluate(() => {
    const c = document.createElement("canvas");
    c.width = 1200;
    c.height = 800;
    c.getContext("2d").fillRect(100, 100, 500, 300);
    return c.toDataURL("image/jpeg").split(",")[1];
  });
  await page.getByLabel("Add a photo").setInputFiles({ name: "lamp low.jpg", mimeType: "image/jpeg", buffer: Buffer.from(jpeg, "base64") });
  await page.getByAltText("The photo that goes with it").waitFor();
  await page.getByRole("button", { name: /No old line left/ }).click();
  await to(page, "log");
  const thumb = page.getByAltText(/^Photo of shown-plate/);
  await thumb.waitFor({ timeout: 30000 });
  await thumb.scrollIntoViewIfNeeded();
  await page.waitForFunction(() => document.querySelector("img.thumb")?.naturalWidth === 480, null, { timeout: 30000 });
  // One that goes with no entry stands in the log too, by its own day.
  await page.getByText("Keep a photo").click();
  await page.getByLabel("What it shows").fill("before the first step");
  const other = Buffer.from(jpeg, "base64");
  await page.getByLabel("Take or choose a photo").setInputFiles({ name: "before.jpg", mimeType: "image/jpeg", buffer: Buffer.concat([other, Buffer.from([0])]) });
  await page.getByText("before the first step", { exact: true }).waitFor({ timeout: 30000 });
  const loose = page.getByRole("listitem").filter({ hasText: "before the first step" });
  await loose.getByAltText(/^Photo of the job/).waitFor();
  const [kept] = await page.evaluate(async () => (await (await fetch("/api/job?act=show&name=shown%20(invented)")).json()).files.filter((f) => f.entry === undefined));
  is(kept.words, "before the first step", "kept without an entry");
  is(await thumb.count(), 1, "the other stays with its entry");
  // What is no photo is told, and the entry is kept all the same.
  await to(page, "bench/shown-plate/1");
  await page.locator(".whole").click({ timeout: 60000 });
  await page.locator(".whole").click();
  await page.getByLabel("Add a photo").setInputFiles({ name: "x.jpg", mimeType: "image/jpeg", buffer: Buffer.from("no photo at all") });
  await page.getByRole("button", { name: "Keep at it" }).click();
  await page.getByText("The photo is not kept").waitFor({ timeout: 30000 });
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("a quote: a band for the shop, one figure and a text for the customer", async () => {
  const page = await open({}, [plate]);
  await to(page, "quote");
  await page.getByLabel("How many pieces").fill("10");
  await page.getByLabel("Inside corners a piece").fill("2");
  await page.getByRole("button", { name: "Work it out" }).click();
  await page.getByText(/each at 10/).first().waitFor({ timeout: 60000 });
  const [each] = (await page.locator("#view .answer").innerText()).match(/[\d.,]+/);
  const text = await page.getByRole("textbox", { name: "For the customer" }).inputValue();
  ok(text.includes(each), `the customer's text does not hold ${each}: ${text}`);
  ok(/not included/i.test(text), "no word on what is not included");
  is(page.faults.join(), "", "faults");
  await page.context().close();
});
await test("the page is under 150 kB packed, first useful screen timed on a 6x slowed CPU", async () => {
  const page = await open({ serviceWorkers: "block" }), client = await page.context().newCDPSession(page);
  await client.send("Emulation.setCPUThrottlingRate", { rate: 6 }); await client.send("Network.setCacheDisabled", { cacheDisabled: true });
  await page.reload({ waitUntil: "load" }); await page.getByText("What number do I start with?").waitFor();
  const [bytes, paint] = await page.evaluate(() => [performance.getEntriesByType("resource").filter((r) => !r.name.includes("/api/")).reduce((n, r) => n + r.encodedBodySize, performance.getEntriesByType("navigation")[0].encodedBodySize), performance.getEntriesByName("first-contentful-paint")[0]?.startTime]);
  console.log(`# ${bytes} bytes, first paint with all questions after ${Math.round(paint)} ms`);
  ok(bytes < 150000, `${bytes} bytes`); await page.context().close();
});
await b.close(); await s.stop();
done();
