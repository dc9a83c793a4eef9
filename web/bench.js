// SPDX-License-Identifier: GPL-3.0-or-later
// At the bench: one step, the whole screen a button. Time never says done, it says look.
import { html, useState, useEffect, useRef, time, depth } from "./base.js";
import { edit, store } from "./store.js";
import { usePlan, chosen, label, backing, push } from "./job.js";
import { arrow, patch } from "./draw.js";
let sound;
function tone() {
  try { sound ??= new AudioContext(); if (sound.state === "suspended") sound.resume();
    for (let i = 0; i < 3; i++) { const o = sound.createOscillator(), g = sound.createGain(), t = sound.currentTime + i * .35;
      o.frequency.value = 880; g.gain.setValueAtTime(.5, t); g.gain.exponentialRampToValueAtTime(.01, t + .28); o.connect(g).connect(sound.destination); o.start(t); o.stop(t + .3); } } catch { /* no sound here: the flash stays */ }
  navigator.vibrate?.([300, 150, 300]);
}
export function Bench({ q, step, go }) {
  const { f, p, e } = usePlan(q), n = Math.max(1, Number(step) || 1);
  const [began, setBegan] = useState(null), [now, setNow] = useState(Date.now()), [look, setLook] = useState(false), rung = useRef(0), lock = useRef(null);
  const l = p?.feasible ? chosen(q, p) : null, s = l?.steps[n - 1];
  useEffect(() => { setBegan(null); setLook(false); rung.current = 0; }, [n]);
  useEffect(() => { if (!began) return undefined; const t = setInterval(() => setNow(Date.now()), 500);
    navigator.wakeLock?.request("screen").then((w) => { lock.current = w; }, () => {});
    return () => { clearInterval(t); lock.current?.release().catch(() => {}); lock.current = null; }; }, [began]);
  // First look at the early end, then each third of the usual time.
  const due = s && s.look_s + rung.current * s.time_s.p50 / 3, gone = began ? (now - began) / 1000 : 0;
  useEffect(() => { if (began && !look && gone >= due) { setLook(true); tone(); } }, [now]);
  if (!f || e || (p && !l)) return html`<h1>At the bench</h1><p class="warn">${e || (f ? p.why_not : "No such face in this job.")}</p><a class="button" href="#/job">To the job</a>`;
  if (!p) return html`<h1>At the bench</h1><p role="status">One moment\u2026</p>`;
  const note = (verdict) => { edit((j, notes) => { (notes[`done:${q}`] ??= []).push({ step: n, label: label(s), seconds: Math.round(gone), verdict, at: new Date().toISOString() }); }); };
  const keepAt = () => { note("keep-at-it"); rung.current++; setLook(false); };
  const next = () => { note("next-grit"); go(n < l.steps.length ? `bench/${encodeURIComponent(q)}/${n + 1}` : `bench/${encodeURIComponent(q)}/${n + 1}`); };
  if (!s) { const done = store.notes[`done:${q}`] ?? [], passed = done.filter((d) => d.verdict === "next-grit");
    return html`<div class="bench"><p class="use">All ${l.steps.length} steps passed</p><p class="tell proof">${p.proof.replace(/^done when: /, "")}</p><div class="scroll" tabindex="0"><table><caption>What was done</caption><thead><tr><th scope="col">Step</th><th scope="col">Took</th><th scope="col">Planned</th></tr></thead><tbody>${passed.map((d) => html`<tr><th scope="row">${d.step}. ${d.label}</th><td>${time(d.seconds)}</td><td>${l.steps[d.step - 1] ? time(l.steps[d.step - 1].time_s.p50) : ""}</td></tr>`)}</tbody></table></div><div class="row"><a class="button main grow" href=${`#/face/${encodeURIComponent(q)}`}>To the ladder</a><a class="button grow" href=${`#/recover/${encodeURIComponent(q)}/${l.steps.length}`}>I found a line</a></div></div>`; }
  const press = () => { if (!began) { tone.ready = true; try { sound ??= new AudioContext(); sound.resume(); } catch { /* silent */ } setNow(Date.now()); setBegan(Date.now()); } else { setNow(Date.now()); setLook(true); } };
  return html`<div class="bench"><div class="row" style="margin:0"><span class="grow">${q}, step ${n} of ${l.steps.length}</span><a class="button" href=${`#/face/${encodeURIComponent(q)}`}>Close</a></div>
   <div class="row" style="margin:0;flex-wrap:nowrap"><p class="use grow">${label(s)}</p>${arrow(s.direction, s.stroke)}</div>
   <p class="tell">${backing[s.backing] ?? s.drive}, ${push(s)}, ${s.fluid}. ${s.stroke === "one-way" ? "One way, off the edge." : s.stroke === "circles" ? "Small circles." : ""}</p>
   ${look ? html`<div role="alert" class="card flash" style="text-align:center"><p class="use">Look now</p></div><p class="tell proof">${s.check}</p><p class="tell">Stop if ${s.stop_if}.</p>
     <div class="row"><button class="main grow" style="min-height:7rem;font-size:1.4rem" onClick=${next}>No old line left: ${n < l.steps.length ? "next grit" : "finish"}</button><button class="grow" style="min-height:7rem;font-size:1.4rem" onClick=${keepAt}>Keep at it, ${time(s.time_s.p50 / 3)}</button></div><div class="row"><button onClick=${() => { note("cannot-tell"); go("check"); }}>I cannot tell</button></div>`
   : html`<button class="whole ${began ? "" : "main"}" onClick=${press}>${began ? html`${time(Math.max(0, due - gone))} to the first look<small>Touch when you look earlier</small>` : html`Start<small>look after ${time(s.look_s)}, takes off ${depth(s.remove_um)}</small>`}</button>${s.clean_down && html`<p class="gate">Before it: wash down cloth, bench, hands and water.</p>`}`}
   <p class="small">${isSecureContext ? "The screen stays on while you work." : "Plain network address: set the phone not to sleep, or it cannot call you."}</p></div>`;
}
