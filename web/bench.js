// SPDX-License-Identifier: GPL-3.0-or-later
// At the bench: one step, the whole screen a button. Time never says done, it says look.
import { html, useState, useEffect, useRef, time, depth, settings } from "./base.js";
import { edit, store } from "./store.js";
import { startWork, logLine, undoLog } from "./sync.js";
import { url, usePlan, chosen, label, backing, push } from "./ladder.js";
import { arrow } from "./draw.js";

let sound;
/** A browser lets a page sound only after a touch: begin at the first one. */
function wakeSound() {
  try {
    sound ??= new AudioContext();
    sound.resume();
  } catch {
    /* no sound here: the flash stays */
  }
}

function tone() {
  try {
    for (let i = 0; i < 3; i++) {
      const o = sound.createOscillator();
      const g = sound.createGain();
      const t = sound.currentTime + i * 0.35;
      o.frequency.value = 880;
      g.gain.setValueAtTime(0.5, t);
      g.gain.exponentialRampToValueAtTime(0.01, t + 0.28);
      o.connect(g).connect(sound.destination);
      o.start(t);
      o.stop(t + 0.3);
    }
  } catch {
    /* silent */
  }
  navigator.vibrate?.([300, 150, 300]);
}

/** Keep the screen on while `on`, also after the phone was away. */
function useAwake(on) {
  const lock = useRef(null);
  useEffect(() => {
    if (!on) return undefined;
    const take = () =>
      document.visibilityState === "visible" &&
      navigator.wakeLock?.request("screen").then(
        (w) => {
          lock.current = w;
        },
        () => {},
      );
    take();
    document.addEventListener("visibilitychange", take);
    return () => {
      document.removeEventListener("visibilitychange", take);
      lock.current?.release().catch(() => {});
      lock.current = null;
    };
  }, [on]);
}

const NOTES = ["old line left", "paper tired", "heat", "edge caught", "interrupted"];

function Passed({ q, l, p }) {
  const passed = (store.notes[`done:${q}`] ?? []).filter((d) => d.verdict === "next-grit");
  const row = (d) => html`<tr>
    <th scope="row">${d.step}. ${d.label}</th>
    <td>${time(d.seconds)}</td>
    <td>${l.steps[d.step - 1] ? time(l.steps[d.step - 1].time_s.p50) : ""}</td>
  </tr>`;
  return html`<div class="bench">
    <p class="use">All ${l.steps.length} steps passed</p>
    <p class="tell proof">${p.proof.replace(/^done when: /, "")}</p>
    <div class="scroll" tabindex="0" role="region" aria-label="What was done">
      <table>
        <caption>What was done</caption>
        <thead>
          <tr>
            <th scope="col">Step</th>
            <th scope="col">Took</th>
            <th scope="col">Planned</th>
          </tr>
        </thead>
        <tbody>${passed.map(row)}</tbody>
      </table>
    </div>
    <div class="row">
      <a class="button main grow" href=${`#/face/${url(q)}`}>To the ladder</a>
      <a class="button grow" href=${`#/recover/${url(q)}/${l.steps.length}`}>I found a line</a>
    </div>
  </div>`;
}

/** A photo for the log: by the phone's own camera, shown before it is sent. */
function Snap({ photo, take }) {
  const [src, setSrc] = useState(null);
  useEffect(() => {
    if (!photo) return undefined;
    const address = URL.createObjectURL(photo);
    setSrc(address);
    return () => URL.revokeObjectURL(address);
  }, [photo]);
  if (!store.shop)
    return html`<p class="small">A photo can go with it once the job is kept in the shop.</p>`;
  return html`<div class="row">
    <label class="button">
      ${photo ? "Another photo" : "Add a photo"}
      <input
        class="hidden"
        type="file"
        accept="image/jpeg,image/png"
        capture="environment"
        onChange=${(e) => take(e.target.files[0] ?? photo)}
      />
    </label>
    ${photo &&
    html`<img class="thumb" src=${src} alt="The photo that goes with it" />
      <button class="quiet" onClick=${() => take(null)}>Leave it out</button>`}
  </div>`;
}

function Look({ s, last, note, words, next, keepAt, unsure, photo, take }) {
  return html`<div role="alert" class="card flash"><p class="use">Look now</p></div>
    <p class="tell proof">${s.check}</p>
    <p class="tell">Stop if ${s.stop_if}.</p>
    <div class="row">
      <button class="main grow huge" onClick=${next}>
        ${last ? "No old line left: finish" : "No old line left: next grit"}
      </button>
      <button class="grow huge" onClick=${keepAt}>Keep at it, ${time(s.time_s.p50 / 3)}</button>
    </div>
    <div class="row"><button onClick=${unsure}>I cannot tell</button></div>
    <div class="row" role="group" aria-label="A note to this step">
      ${NOTES.map(
        (n) => html`<button
          class=${words.includes(n) ? "main" : ""}
          aria-pressed=${words.includes(n) ? "true" : "false"}
          onClick=${() => note(n)}
        >
          ${n}
        </button>`,
      )}
    </div>
    <${Snap} photo=${photo} take=${take} />`;
}

function Rub({ s, began, left, press }) {
  const inside = began
    ? html`${time(left)} to the first look<small>Touch when you look earlier</small>`
    : html`Start<small>
          look after ${time(s.look_s)}, takes off ${depth(s.remove_um)}
        </small>`;
  return html`<button class="whole ${began ? "" : "main"}" onClick=${press}>${inside}</button>
    ${s.clean_down && html`<p class="gate">Before it: wash down cloth, bench, hands and water.</p>`}`;
}

const STROKE = { "one-way": "One way, off the edge.", circles: "Small circles." };

function Head({ q, n, l, s }) {
  return html`<div class="row tight level">
      <span class="grow">${q}, step ${n} of ${l.steps.length}</span>
      <a class="button" href=${`#/face/${url(q)}`}>Close</a>
    </div>
    <div class="row tight level">
      <p class="use grow">${label(s)}</p>
      ${arrow(s.direction, s.stroke)}
    </div>
    <p class="tell">
      ${[backing(s), push(s), s.fluid].filter(Boolean).join(", ")}.${" "}
      ${STROKE[s.stroke] ?? ""}
    </p>`;
}

/** The clock of one step: how long it has gone, and whether it is time to look. */
function useClock(n, s) {
  const [began, setBegan] = useState(null);
  const [now, setNow] = useState(Date.now());
  const [look, setLook] = useState(false);
  const rung = useRef(0);
  useEffect(() => {
    setBegan(null);
    setLook(false);
    rung.current = 0;
  }, [n]);
  useEffect(() => {
    if (!began) return undefined;
    const t = setInterval(() => setNow(Date.now()), 500);
    return () => clearInterval(t);
  }, [began]);
  // First look at the early end, then each third of the usual time.
  const due = s ? s.look_s + (rung.current * s.time_s.p50) / 3 : 0;
  const gone = began ? (now - began) / 1000 : 0;
  useEffect(() => {
    if (!began || look || gone < due) return;
    setLook(true);
    tone();
  }, [now]);
  const press = () => {
    setNow(Date.now());
    wakeSound();
    if (began) setLook(true);
    else setBegan(Date.now());
  };
  const again = () => {
    rung.current++;
    setLook(false);
  };
  return { began, look, gone, left: Math.max(0, due - gone), press, again };
}

/** Into the notes of this job, and into the shop's log when the job is kept there; one
 * undo takes both back. */
function note({ q, n, s, seconds, words, verdict, photo }) {
  const kept = store.shop;
  const who = settings.who;
  const done = { step: n, label: label(s), seconds, verdict, words };
  const add = (j, notes) => {
    (notes[`done:${q}`] ??= []).push({ ...done, at: new Date().toISOString() });
  };
  if (!kept) {
    edit(add);
    return;
  }
  const entry = { job: kept.name, face: q, number: n };
  if (who) entry.who = who;
  const said = words.length ? `; ${words.join(", ")}` : "";
  const took = seconds > 0 ? `${seconds}s ` : "";
  const sent = startWork()
    .then(() => logLine({ ...entry, line: `${took}${verdict}${said}` }, photo))
    .catch(() => false);
  edit(add, () => sent.then((isIn) => isIn && undoLog(who)));
}

export function Bench({ q, step, go }) {
  const { f, p, e } = usePlan(q);
  const n = Math.max(1, Number(step) || 1);
  const l = p?.feasible ? chosen(q, p) : null;
  const s = l?.steps[n - 1];
  const clock = useClock(n, s);
  const [words, setWords] = useState([]);
  const [photo, setPhoto] = useState(null);
  const logged = useRef(0); // seconds that stand in the log already
  useAwake(Boolean(clock.began));
  useEffect(() => {
    setWords([]);
    setPhoto(null);
    logged.current = 0;
  }, [n]);
  if (!f || e || (p && !l))
    return html`<h1>At the bench</h1>
      <p class="warn">${e || (f ? p.why_not : "No such face in this job.")}</p>
      <a class="button" href="#/job">To the job</a>`;
  if (!p) return html`<h1>At the bench</h1><p role="status">One moment${"\u2026"}</p>`;
  if (!s) return html`<${Passed} q=${q} l=${l} p=${p} />`;
  const on = (verdict, then) => () => {
    const seconds = Math.round(clock.gone - logged.current);
    logged.current = clock.gone;
    note({ q, n, s, seconds, words, verdict, photo });
    setPhoto(null);
    then();
  };
  const tick = (w) => setWords(words.includes(w) ? words.filter((x) => x !== w) : [...words, w]);
  return html`<div class="bench">
    <${Head} ...${{ q, n, l, s }} />
    ${clock.look
      ? html`<${Look}
          s=${s}
          last=${n === l.steps.length}
          note=${tick}
          words=${words}
          photo=${photo}
          take=${setPhoto}
          next=${on("next-grit", () => go(`bench/${url(q)}/${n + 1}`))}
          keepAt=${on("keep-at-it", clock.again)}
          unsure=${on("cannot-tell", () => go("check"))}
        />`
      : html`<${Rub} s=${s} began=${clock.began} left=${clock.left} press=${clock.press} />`}
    <p class="small">
      ${isSecureContext
        ? "The screen stays on while you work."
        : "Plain network address: set the phone not to sleep, or it cannot call you."}
    </p>
  </div>`;
}
