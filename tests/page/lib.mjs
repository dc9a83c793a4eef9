// SPDX-License-Identifier: GPL-3.0-or-later
// A server of its own on a free port, a browser with a fresh profile, TAP on the way out.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";

const running = new Set();
export async function serve(program, ...args) {
  // A shop of its own, empty.
  const folder = mkdtempSync(join(tmpdir(), "levigate-test-"));
  const env = { ...process.env, LEVIGATE_DB: join(folder, "shop.db") };
  const child = spawn(program, ["serve", "--port", "0", ...args], { stdio: ["ignore", "pipe", "inherit"], env });
  running.add(child);
  child.once("exit", () => running.delete(child));
  const [line] = await once(child.stdout, "data");
  const stop = async () => {
    child.kill("SIGTERM");
    await once(child, "exit");
    rmSync(folder, { recursive: true });
  };
  return { address: String(line).split("\n")[0], stop };
}

export const browser = () => chromium.launch({
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--autoplay-policy=no-user-gesture-required"],
});

let count = 0, bad = 0;
export async function test(sentence, run) {
  if (process.env.ONLY && !sentence.match(process.env.ONLY)) return;
  count++;
  try { await run(); console.log(`ok ${count} - ${sentence}`); } catch (e) {
    bad++;
    console.log(`not ok ${count} - ${sentence}\n# ${String(e.stack || e).replace(/\n/g, "\n# ")}`);
  }
}
export function done() { for (const child of running) child.kill("SIGTERM"); /* of a test that failed */ console.log(`1..${count}`); process.exitCode = bad ? 1 : 0; }
export function is(got, want, what) { if (got !== want) throw new Error(`${what}: got ${JSON.stringify(got)}, wanted ${JSON.stringify(want)}`); }
export function ok(got, what) { if (!got) throw new Error(what); }

// A draft as the page keeps it, for tests that begin with a job.
export const draft = (faces) => ({ v: 1, by: "test", notes: {}, job: { levigate: 1, name: "bracket clock (invented)", currency: "EUR", labour_minor_per_h: 4000, faces } });
export const plate = { name: "front-plate", material: "brass_260", shape: "flat", size_mm: [100, 50], start: { kind: "grit", system: "P", label: "P180" }, target: { kind: "look", look: "satin" }, next: "lacquer", drives: ["hand-wood"] };
