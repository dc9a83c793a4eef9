// SPDX-License-Identifier: GPL-3.0-or-later
// A trace or a height map from an instrument: measured, drawn, held against a limit.
import { html, useState, useEffect, send, saveAs, Choose, number } from "./base.js";
import { depth, texture, toUm, settings, Reserved } from "./base.js";
import { store } from "./store.js";
import { usePlan, chosen, label } from "./ladder.js";

const SYMBOLS = ["Ra", "Rz", "Rq", "Rt", "Sa", "Sq", "Sz"].map((s) => [s, s]);
const UNITS = { _um: " \u00b5m", _mm: " mm", _pct: " %", _deg: "\u00b0" };
const VERDICTS = {
  "next-grit": "Next grit",
  "keep-at-it": "Keep at it",
  "cannot-tell": "This reading cannot tell",
};
const bare = (k) => k.replace(/_(um|pct|deg|mm)$/, "");
const unitOf = (k) => UNITS[k.match(/_(um|pct|deg|mm)$/)?.[0]] ?? "";
const shown = ([k, v]) => typeof v === "number" && /^[RS]/.test(k);

function first(r) {
  const main = r.Ra_um != null ? `Ra ${texture(r.Ra_um, 3)}` : `Sa ${texture(r.Sa_um, 3)}`;
  const line = r.lines?.[0] ? `; deepest line ${depth(r.lines[0].depth_um)}` : "";
  return main + line;
}

function Lines({ list }) {
  const row = (x, i) => html`<tr>
    <th scope="row">${i + 1}</th>
    <td class="num">${depth(x.depth_um)}</td>
    <td class="num">${x.length_mm != null ? depth(x.length_mm * 1000) : ""}</td>
    <td class="num">${x.direction_deg != null ? `${Math.round(x.direction_deg)}\u00b0` : ""}</td>
  </tr>`;
  return html`<div class="scroll" tabindex="0" role="region" aria-label="The deepest lines">
    <table>
      <caption>The deepest lines</caption>
      <thead>
        <tr>
          <th scope="col">Line</th>
          <th scope="col">Depth</th>
          <th scope="col">Length</th>
          <th scope="col">Direction</th>
        </tr>
      </thead>
      <tbody>${list.map(row)}</tbody>
    </table>
  </div>`;
}

function Report({ r, pic, save }) {
  const limit = r.limit;
  const row = ([k, v]) => html`<tr>
    <th scope="row">${bare(k)}</th>
    <td class="num">${Number(v.toPrecision(3))}${unitOf(k)}</td>
  </tr>`;
  return html`<section aria-live="polite">
    ${r.verdict
      ? html`<p class="answer">${VERDICTS[r.verdict] ?? r.verdict}</p>
          <p class="gate">${r.reason}.</p>
          <p>${first(r)}</p>`
      : html`<p class="answer">${first(r)}</p>`}
    ${limit &&
    html`<p class=${limit.accepted ? "gate" : "warn"}>
      ${limit.accepted ? "Within the limit." : "Over the limit."}
    </p>`}
    ${r.warning && html`<p class="warn">${r.warning}</p>`}
    ${pic && html`<img class="paper" alt=${`Report of ${r.name}; the tables say the same`} src=${pic} />`}
    ${r.lines?.length > 0 && html`<${Lines} list=${r.lines} />`}
    <div class="scroll" tabindex="0" role="region" aria-label="All parameters">
      <table>
        <caption>${r.name}</caption>
        <tbody>${Object.entries(r).filter(shown).map(row)}</tbody>
      </table>
    </div>
    <${Reserved} notes=${r.notes} />
    <button onClick=${save}>Report as PDF</button>
  </section>`;
}

/** Parameters of the address; a map has Sa where a trace has Ra. */
function queryOf(a) {
  const q = new URLSearchParams();
  const put = (k, v) => v !== null && q.set(k, v);
  const max = number(a.max);
  if (a.expect) for (const [k, v] of Object.entries(a.expect)) put(k, v ?? null);
  if (max !== null) {
    q.set("symbol", a.symbol);
    q.set("max_um", settings.units === "inch" ? max * 0.0254 : toUm(max));
    for (const k of ["min_um", "accept"]) q.delete(k);
  }
  put("dx_um", number(a.dx));
  put("z_step_um", number(a.dz));
  return q;
}

const MAP_SYMBOL = { Ra: "Sa", Rq: "Sq", Rz: "Sz", Rt: "Sz" };

async function measure(file, a) {
  const q = queryOf(a);
  try {
    return [q, await send(`/api/trace?${q}`, file)];
  } catch (e) {
    const areal = MAP_SYMBOL[q.get("symbol")];
    if (!/in a map/.test(e.message) || !areal) throw e;
    q.set("symbol", areal);
    return [q, await send(`/api/trace?${q}`, file)];
  }
}

/** The limit of a face, which only its last step has to keep. */
const limitOf = (t) =>
  t?.kind === "limit"
    ? { symbol: t.symbol, max_um: t.max_um, min_um: t.min_um, accept: t.rule }
    : {};

/** What a step should leave, and which way its lines and the older ones run. */
function expected(steps, i, target) {
  const s = steps[i];
  const old = steps[i - 1];
  if (!s?.Ra_after_um) return null;
  return {
    ...(i + 1 === steps.length ? limitOf(target) : {}),
    expect_ra_um: s.Ra_after_um.p50,
    expect_ra_most_um: s.Ra_after_um.p90,
    expect_deepest_um: s.deepest_after_um,
    ...(s.no_lay || old?.no_lay
      ? { no_lay: s.no_lay ? 1 : null }
      : { new_deg: s.direction, old_deg: old?.direction }),
  };
}

/** After which step it was measured: then the reading says whether that step is done. */
function After({ pick }) {
  const faces = store.job.faces.map((f) => f.name);
  const [face, setFace] = useState("");
  const [step, setStep] = useState("");
  const { p } = usePlan(face);
  const steps = p?.feasible ? chosen(face, p).steps : [];
  const list = steps.map((s, i) => [String(i), `${i + 1}. ${label(s)}`]);
  if (!faces.length) return null;
  const choose = (name) => {
    setFace(name);
    setStep("");
    pick(null);
  };
  return html`<div class="row">
    <div class="grow">
      <${Choose}
        label="Measured on"
        value=${face}
        list=${[["", "no face of the job"], ...faces.map((n) => [n, n])]}
        pick=${choose}
      />
    </div>
    ${list.length > 0 &&
    html`<div class="grow">
      <${Choose}
        label="After step"
        value=${step}
        list=${[["", "choose"], ...list]}
        pick=${(i) => {
          setStep(i);
          const target = store.job.faces.find((f) => f.name === face)?.target;
          pick(i === "" ? null : expected(steps, Number(i), target));
        }}
      />
    </div>`}
  </div>`;
}

export function Readings() {
  const [a, set] = useState({ symbol: "Ra", max: "", dx: "", dz: "" });
  const [got, setGot] = useState({});
  const change = (k) => (x) => set({ ...a, [k]: x.target.value });
  useEffect(() => () => got.pic && URL.revokeObjectURL(got.pic), [got.pic]);
  const run = async (file) => {
    if (!file) return;
    setGot({ file, busy: true });
    try {
      const [q, r] = await measure(file, a);
      setGot({ file, q, r: { ...r, name: file.name } });
      const pic = URL.createObjectURL(await send(`/api/trace?format=svg&${q}`, file, "blob"));
      setGot((g) => (g.file === file ? { ...g, pic } : g));
    } catch (e) {
      setGot((g) => ({ ...g, busy: false, e: e.message }));
    }
  };
  const save = async () => {
    const pdf = await send(`/api/trace?format=pdf&${got.q}`, got.file, "blob");
    saveAs(pdf, `${got.file.name}.pdf`);
  };
  const scaleless = /spacing of its points|height of one step/.test(got.e ?? "");
  const unit = settings.units === "inch" ? "\u00b5in" : "\u00b5m";
  return html`<h1>Readings</h1>
    <p>A trace or a map from an instrument: X3P, SDF, SMD, CSV, TIFF or PNG.</p>
    <div class="row">
      <div class="grow">
        <${Choose}
          label="Limit on"
          value=${a.symbol}
          list=${SYMBOLS}
          pick=${(symbol) => set({ ...a, symbol })}
        />
      </div>
      <label class="grow">
        The limit, ${unit} (may stay empty)
        <input inputmode="decimal" value=${a.max} onInput=${change("max")} />
      </label>
    </div>
    ${(scaleless || a.dx || a.dz) &&
    html`<div class="row">
      <label class="grow">
        Points of the picture are apart, ${"\u00b5m"}
        <input inputmode="decimal" value=${a.dx} onInput=${change("dx")} />
      </label>
      <label class="grow">
        One step of grey is, ${"\u00b5m"}
        <input inputmode="decimal" value=${a.dz} onInput=${change("dz")} />
      </label>
    </div>`}
    <${After} pick=${(expect) => set({ ...a, expect })} />
    <label>The file<input type="file" onChange=${(e) => run(e.target.files[0])} /></label>
    ${got.file && !got.busy && html`<button onClick=${() => run(got.file)}>Measure it again</button>`}
    ${got.busy && html`<p role="status">Measuring${"\u2026"}</p>`}
    ${got.e && html`<p class="warn" role="alert">${got.e}</p>`}
    ${got.r && html`<${Report} r=${got.r} pic=${got.pic} save=${save} />`}`;
}
