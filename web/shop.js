// SPDX-License-Identifier: GPL-3.0-or-later
// The shop's memory: jobs kept for all devices, the drawer, the log, what it has taught.
import { html, useState, useEffect, useAnswer, ask, wait, Choose, Pick } from "./base.js";
import { time, money, day, depth, number, settings, applySettings, plain, once, sheets } from "./base.js";
import { store } from "./store.js";
import { keepInShop, openFromShop, logLine, undoLog, keepPhoto } from "./sync.js";
import { sizeAxis, fit } from "./draw.js";

/** Like useAnswer, asked anew when another page changed the shop, or when told to. */
export function useShop(path) {
  const [n, again] = useState(0);
  useEffect(() => {
    const on = (e) => e.detail.changed && again((x) => x + 1);
    addEventListener("work", on);
    return () => removeEventListener("work", on);
  }, []);
  const [shown, show] = useState({});
  const a = useAnswer(path && `${path}${path.includes("?") ? "&" : "?"}n=${n}`);
  useEffect(() => {
    if (a.r || a.e) show(a);
  }, [a.r, a.e]);
  return { ...shown, again: () => again((x) => x + 1) };
}

/** Do something with the shop; {e} is what went wrong, busy while it runs. */
export function useDeed() {
  const [state, set] = useState({});
  const run = async (deed) => {
    set({ busy: true });
    try {
      await deed();
      set({});
    } catch (e) {
      set({ e: e.message });
    }
  };
  return { ...state, run };
}

const PARTS = [
  ["shop", "Jobs"],
  ["drawer", "Drawer"],
  ["log", "Log"],
  ["learned", "What it taught"],
];
const Links = ({ at }) => html`<nav class="parts" aria-label="Shop">
  ${PARTS.map(
    ([to, words]) => html`<a
      href=${`#/${to}`}
      aria-current=${to === at ? "page" : undefined}
    >
      ${words}
    </a>`,
  )}
</nav>`;
const wrong = (e) => e && html`<p class="warn" role="alert">${e}</p>`;

// ---- jobs ----

const STATES = { open: "open", started: "under way", done: "done" };

export function Shop({ go }) {
  const list = useShop("/api/job");
  const deed = useDeed();
  const open = (name) =>
    deed.run(async () => {
      await openFromShop(name);
      go("job");
    });
  const row = (j) => html`<button
    class="card face"
    aria-current=${store.shop?.name === j.name ? "true" : undefined}
    onClick=${() => open(j.name)}
  >
    <b>${j.name}</b>
    <span class="facts small">
      <span>${STATES[j.state]}</span>
      <span>version ${j.versions}</span>
      <span>${j.entries} entries</span>
      <span>${day(j.made_s)}</span>
    </span>
  </button>`;
  const unkept = store.job.faces.length > 0 && !store.shop;
  return html`<h1>The shop</h1>
    <${Links} at="shop" />
    ${wrong(deed.e)}
    ${unkept &&
    html`<div class="card">
      <p>The job on this page, <b>${store.job.name}</b>, is kept in this browser only.</p>
      <button class="main" disabled=${deed.busy} onClick=${() => deed.run(keepInShop)}>
        Keep it in the shop
      </button>
    </div>`}
    <h2>Jobs of the shop</h2>
    ${list.r
      ? html`<div class="list two">${list.r.jobs.map(row)}</div>
          ${!list.r.jobs.length && html`<p>None yet.</p>`}`
      : wait(list)}`;
}

// ---- drawer ----

const CARRIERS = [
  "paper",
  "cloth",
  "film",
  "foam",
  "nonwoven",
  "belt",
  "disc",
  "stone",
  "stick",
  "file",
  "powder",
  "paste",
  "wool",
].map((c) => [c, c]);
const STATE_WORDS = ["fresh", "run-in", "tired"].map((s) => [s, plain(s)]);

function Line({ m, currency, change }) {
  const [n, setN] = useState("");
  const act = (name, more) => () => {
    change({ act: name, what: String(m.line), ...more });
    setN("");
  };
  const count = number(n);
  const facts = [m.mineral && plain(m.mineral), m.carrier, plain(m.state)].filter(Boolean);
  return html`<details class="q">
    <summary>
      <span class="grow">${m.label} <small>${facts.join(", ")}</small></span>
      ${m.order && html`<small>order more</small>`}
      <b class="num">${Number(m.count.toFixed(2))}</b>
    </summary>
    <div>
      <p class="facts">
        ${m.d50_um && html`<span>grain ${depth(m.d50_um)}</span>`}
        ${m.size_mm && html`<span>${m.size_mm.join(" x ")} mm</span>`}
        <span>${money(m.price_minor, currency)} a piece</span>
        ${m.days_left != null && html`<span>lasts ${Math.round(m.days_left)} days</span>`}
        ${m.order && html`<b>Order more: at or under ${Math.ceil(m.order_at)}.</b>`}
      </p>
      <div class="row">
        <button onClick=${act("take", { pieces: 1 })}>Take one</button>
        <label class="grow">
          How many are there
          <input inputmode="decimal" value=${n} onInput=${(e) => setN(e.target.value)} />
        </label>
        <button disabled=${count === null} onClick=${act("count", { pieces: count })}>Counted</button>
      </div>
      <${Pick}
        label="State"
        value=${m.state}
        list=${STATE_WORDS}
        pick=${(state) => change({ act: "set", what: String(m.line), state })}
      />
      <button onClick=${act("remove", { reason: "taken out on the page" })}>Take it out</button>
    </div>
  </details>`;
}

const BLANK = { what: "", pieces: "10", carrier: "paper", size: "", price: "", state: "fresh" };

function AddMedium({ change }) {
  const [a, set] = useState(BLANK);
  const typed = (k) => (e) => set({ ...a, [k]: e.target.value });
  const send = async (e) => {
    e.preventDefault();
    const told = Object.entries(a).filter(([, v]) => String(v).trim());
    const ok = await change({ act: "add", ...Object.fromEntries(told), pieces: number(a.pieces) ?? 1 });
    if (ok) set({ ...BLANK, carrier: a.carrier, size: a.size });
  };
  return html`<form class="card" onSubmit=${send}>
    <h2>Put something in</h2>
    <div class="row">
      <label class="grow">
        What is printed on it
        <input required value=${a.what} placeholder="P240" maxlength="80" onInput=${typed("what")} />
      </label>
      <label class="grow">
        How many
        <input inputmode="decimal" value=${a.pieces} onInput=${typed("pieces")} />
      </label>
      <div class="grow">
        <${Choose}
          label="On"
          value=${a.carrier}
          list=${CARRIERS}
          pick=${(carrier) => set({ ...a, carrier })}
        />
      </div>
      <label class="grow">
        Size, mm
        <input value=${a.size} placeholder="230x280" onInput=${typed("size")} />
      </label>
      <label class="grow">
        Price of one
        <input value=${a.price} placeholder="1.10 EUR" onInput=${typed("price")} />
      </label>
    </div>
    <button class="main">Put it in</button>
  </form>`;
}

const labels = () =>
  `/api/labels?format=pdf&paper=${settings.paper === "Letter" ? "Letter" : "A4"}`;
const says = (n, r) =>
  `${n} ${n === 1 ? "kind" : "kinds"}, worth ${money(r.worth_minor, r.currency)}`;

export function Drawer() {
  const list = useShop("/api/drawer");
  const deed = useDeed();
  const change = async (what) => {
    let ok = false;
    await deed.run(async () => {
      await ask("/api/drawer", what);
      ok = true;
    });
    list.again();
    return ok;
  };
  const plan = (v) => {
    settings.drawer = v;
    applySettings();
    list.again();
  };
  const lines = list.r?.lines ?? [];
  const sized = lines.filter((m) => m.d50_um);
  const low = lines.filter((m) => m.order);
  return html`<h1>The drawer</h1>
    <${Links} at="drawer" />
    ${wrong(deed.e)} ${!list.r && wait(list)}
    ${list.r &&
    html`<p class="answer">
        ${lines.length ? says(lines.length, list.r) : "Nothing in it yet"}
      </p>
      ${low.length > 0 && html`<p class="gate">Order soon: ${low.map((m) => m.label).join(", ")}.</p>`}
      ${sized.length > 1 &&
      html`<div class="card">
        ${sizeAxis({
          items: sized
            .map((m) => ({ name: `${m.label}, ${m.count} left`, um: m.d50_um }))
            .sort((x, y) => y.um - x.um),
          ...fit(sized.map((m) => ({ um: m.d50_um }))),
          label: "Grains in the drawer",
        })}
      </div>`}
      <div class="list two">
        ${lines.map((m) => html`<${Line} key=${m.line} m=${m} currency=${list.r.currency} change=${change} />`)}
      </div>
      ${lines.length > 0 &&
      html`<a class="button" target="_blank" href=${labels()}>Labels to print</a>`}
      <${AddMedium} change=${change} />
      <h2>Ladders are planned from</h2>
      <${Pick}
        label="Ladders are planned from"
        value=${settings.drawer}
        list=${[
          ["all", "everything one can buy"],
          ["drawer", "this drawer"],
        ]}
        pick=${plan}
      />`}`;
}

// ---- log ----

const VERDICTS = [
  ["next-grit", "no old line left"],
  ["keep-at-it", "not yet"],
  ["cannot-tell", "cannot tell"],
];

function LogForm({ done }) {
  const name = encodeURIComponent(store.shop?.name ?? "");
  const steps = useShop(name && `/api/job?act=show&name=${name}`);
  const [a, set] = useState({ at: "", line: "", verdict: "next-grit" });
  const all = (steps.r?.steps ?? []).map((s) => [
    `${s.face}/${s.number}`,
    `${s.face}, ${s.number}. ${s.words}`,
  ]);
  if (!store.shop || !all.length)
    return html`<p class="small">
      A job that is kept in the shop and under way is logged from the bench, or here.
    </p>`;
  const send = async (e) => {
    e.preventDefault();
    const [face, n] = (a.at || all[0][0]).split("/");
    const entry = { job: store.shop.name, face, number: Number(n) };
    if (settings.who) entry.who = settings.who;
    if (await logLine({ ...entry, line: `${a.line} ${a.verdict}` })) set({ ...a, line: "" });
    done();
  };
  return html`<form class="card" onSubmit=${send}>
    <h2>One line for what was done</h2>
    <${Choose} label="Step" value=${a.at} list=${all} pick=${(at) => set({ ...a, at })} />
    <label>
      Time, paper, weight, reading
      <input
        required
        value=${a.line}
        placeholder="~10m 1/2 sheet 12.3g>11.9g Ra 0.4"
        onInput=${(e) => set({ ...a, line: e.target.value })}
      />
    </label>
    <${Pick}
      label="What the look said"
      value=${a.verdict}
      list=${VERDICTS}
      pick=${(verdict) => set({ ...a, verdict })}
    />
    <button class="main">Log it</button>
  </form>`;
}

function Against({ name }) {
  const { r } = useShop(`/api/job?act=show&name=${encodeURIComponent(name)}`);
  const steps = (r?.steps ?? []).filter((s) => s.entries > 0);
  if (!steps.length) return null;
  const most = Math.max(...steps.flatMap((s) => [s.predicted_s, s.done_s ?? 0]));
  const bar = (x, cls) => html`<i class=${cls} style=${{ width: `${(100 * x) / most}%` }} />`;
  const row = (s) => html`<tr>
    <th scope="row">${s.face}, ${s.number}. ${s.label}</th>
    <td class="num">${time(s.predicted_s)}</td>
    <td class="num">${s.done_s != null ? time(s.done_s) : ""}</td>
    <td class="pair" aria-hidden="true">${bar(s.predicted_s, "plan")}${bar(s.done_s ?? 0, "")}</td>
  </tr>`;
  return html`<div class="scroll card" tabindex="0" role="region" aria-label="Planned and done">
    <table>
      <caption>Planned against done: ${name}</caption>
      <thead>
        <tr>
          <th scope="col">Step</th>
          <th scope="col">Planned</th>
          <th scope="col">Done</th>
          <td aria-hidden="true"></td>
        </tr>
      </thead>
      <tbody>${steps.map(row)}</tbody>
    </table>
  </div>`;
}

const isPhoto = (f) => /\.(jpe?g|png)$/i.test(f.name);

/** The photos of some jobs. */
function usePhotos(jobs, since) {
  const [all, set] = useState([]); // each with the name of its job
  const key = jobs.join("\n");
  useEffect(() => {
    let live = true;
    const show = (name) => ask(`/api/job?act=show&name=${encodeURIComponent(name)}`);
    Promise.all(jobs.map((job) => show(job).then((r) => (r.files ?? []).map((f) => ({ ...f, job })), () => []))).then(
      (got) => live && set(got.flat().filter(isPhoto)),
    );
    return () => {
      live = false;
    };
  }, [key, since]);
  return all;
}

const Photos = ({ list }) => html`<p class="thumbs">
  ${list.map(
    (f) => html`<a href=${`/api/photo?side=1600&sha256=${f.sha256}`} target="_blank">
      <img
        class="thumb"
        loading="lazy"
        src=${`/api/photo?sha256=${f.sha256}`}
        alt=${`Photo of ${f.face || "the job"}, ${day(f.at_s)}`}
      />
    </a>`,
  )}
</p>`;

const PHOTO_JOBS = 30; // the newest ones are looked through for photos

/** A photo of the job that goes with no line of the log. */
function PhotoForm({ deed, done }) {
  const faces = store.job.faces.map((f) => [f.name, f.name]);
  const [face, setFace] = useState("");
  const [words, setWords] = useState("");
  const take = (photo) =>
    photo &&
    deed.run(async () => {
      const of = { job: store.shop.name };
      if (face) of.face = face;
      if (words.trim()) of.words = words.trim();
      await keepPhoto(of, photo);
      setWords("");
      done();
    });
  return html`<details class="q">
    <summary>Keep a photo</summary>
    <div>
      <${Choose} label="Of" value=${face} list=${[["", "the whole job"], ...faces]} pick=${setFace} />
      <label>
        What it shows
        <input value=${words} maxlength="100" onInput=${(e) => setWords(e.target.value)} />
      </label>
      <label class="button">
        Take or choose a photo
        <input
          class="hidden"
          type="file"
          accept="image/jpeg,image/png"
          capture="environment"
          onChange=${(e) => take(e.target.files[0])}
        />
      </label>
    </div>
  </details>`;
}

const Loose = ({ f }) => html`<li class="card">
  <p class="small">${day(f.at_s)}</p>
  <p><b>${f.face ? `${f.face}, photo` : "Photo of the job"}</b> <small>${f.job}</small></p>
  ${f.words && html`<p>${f.words.replace(/^entry \d+(: )?/, "")}</p>`}
  <${Photos} list=${[f]} />
</li>`;

const Entry = ({ x, photos }) => html`<li class="card">
  <p class="small">${day(x.at_s)}${x.who ? `, ${x.who}` : ""}</p>
  <p><b>${x.face}, ${x.number}. ${x.step}</b></p>
  <p class="facts">
    ${x.work_s != null && html`<span>${x.about ? "about " : ""}${time(x.work_s)}</span>`}
    ${x.sheets != null && html`<span>${sheets(x.sheets)}</span>`}
    ${x.off_um != null && html`<span>${depth(x.off_um)} off</span>`}
    ${x.Ra_um != null && html`<span>Ra ${depth(x.Ra_um)}</span>`}
    <span>${plain(x.verdict)}</span>
    ${x.undone && html`<b>taken back</b>`}
  </p>
  ${x.words && html`<p>${x.words}</p>`}
  <${Photos} list=${photos} />
</li>`;

export function Log() {
  const list = useShop("/api/log?last=50");
  const jobs = useShop("/api/job");
  const deed = useDeed();
  const entries = list.r?.entries ?? [];
  const names = (jobs.r?.jobs ?? []).slice(0, PHOTO_JOBS).map((j) => j.name);
  const photos = usePhotos([...new Set([...names, ...entries.map((x) => x.job)])], list.r);
  const back = () =>
    deed.run(async () => {
      await undoLog(settings.who);
      list.again();
    });
  // A photo stands with its entry; one that has none, or an older one, by its own day.
  const shown = new Set(entries.map((x) => x.id));
  const loose = photos.filter((f) => !shown.has(f.entry));
  const all = [...entries, ...loose].sort((x, y) => y.at_s - x.at_s);
  const one = (x) =>
    x.sha256
      ? html`<${Loose} key=${x.sha256 + x.at_s} f=${x} />`
      : html`<${Entry} key=${x.id} x=${x} photos=${photos.filter((f) => f.entry === x.id)} />`;
  return html`<h1>The log</h1>
    <${Links} at="log" />
    ${wrong(deed.e)}
    <${LogForm} done=${list.again} />
    ${store.shop && html`<${PhotoForm} deed=${deed} done=${list.again} />`}
    ${store.shop && html`<${Against} name=${store.shop.name} />`}
    <h2>Newest first</h2>
    ${!list.r && wait(list)}
    ${list.r && !all.length && html`<p>Nothing logged yet.</p>`}
    ${entries.some((x) => !x.undone) &&
    html`<button onClick=${back}>Take the newest back</button>`}
    <ol class="steps">${all.map(one)}</ol>`;
}

// ---- what the log has taught ----

const QUANTITIES = [
  ["removal", "Speed of cutting"],
  ["life", "Life of paper"],
  ["texture", "Roughness left"],
  ["gloss", "Gloss"],
];
const band = (s) => `${times(s.p10)} to ${times(s.p90)}`;
const of = (f, materials) => {
  const material = materials.find((m) => m.id === f.material)?.name ?? f.material;
  return [f.who, plain(f.drive), plain(f.mineral), plain(material)].filter(Boolean).join(", ");
};
const doubt = (d) => `entry ${d.entry}, ${times(d.actual_over_model)} what was expected`;
const SHOP_SAYS = {
  removal: (x) => `This shop cuts ${x} as fast as expected`,
  life: (x) => `Paper here lasts ${x} as long as expected`,
  texture: (x) => `Roughness here is ${x} what is expected`,
  gloss: (x) => `Gloss here is ${x} what is expected`,
};
const times = (x) => `${Number(x.toPrecision(2))} times`;

function Months({ list }) {
  const most = Math.max(2, ...list.flatMap((m) => [m.model_miss ?? 1, m.log_miss ?? 1]));
  const width = (x) => ({ width: `${(100 * Math.log(x)) / Math.log(most)}%` });
  const row = (m) => html`<tr>
    <th scope="row">${m.month}</th>
    <td class="num">${m.entries}</td>
    <td class="num">${m.model_miss != null ? times(m.model_miss) : ""}</td>
    <td class="num">${m.log_miss != null ? times(m.log_miss) : ""}</td>
    <td class="num">${m.inside_8_of_10} of ${m.entries}</td>
    <td class="pair" aria-hidden="true">
      <i class="plan" style=${width(m.model_miss ?? 1)} />
      <i style=${width(m.log_miss ?? 1)} />
    </td>
  </tr>`;
  return html`<div class="scroll card" tabindex="0" role="region" aria-label="Month by month">
    <table>
      <caption>Predicted against actual: how far off, typically</caption>
      <thead>
        <tr>
          <th scope="col">Month</th>
          <th scope="col">Entries</th>
          <th scope="col">Without the log</th>
          <th scope="col">With the log</th>
          <th scope="col">Inside the band</th>
          <td aria-hidden="true"></td>
        </tr>
      </thead>
      <tbody>${list.map(row)}</tbody>
    </table>
  </div>`;
}

function Factors({ list }) {
  const materials = useAnswer("/api/material", once).r?.materials ?? [];
  const row = (f) => html`<tr>
    <th scope="row">${of(f, materials)}</th>
    <td class="num">${times(f.factor)}</td>
    <td class="num">${band(f.factor_spread)}</td>
    <td class="num">${f.entries}</td>
    <td class="num">${Math.round(f.from_log_pct)} %</td>
  </tr>`;
  return html`<div class="scroll card" tabindex="0" role="region" aria-label="Factors">
    <table>
      <caption>Against what was expected, by who, drive, mineral and material</caption>
      <thead>
        <tr>
          <th scope="col">Of</th>
          <th scope="col">Times</th>
          <th scope="col">8 of 10 lie in</th>
          <th scope="col">Entries</th>
          <th scope="col">From the log</th>
        </tr>
      </thead>
      <tbody>${list.map(row)}</tbody>
    </table>
  </div>`;
}

export function Learned() {
  const [q, set] = useState("removal");
  const a = useShop(`/api/factor?quantity=${q}`);
  const r = a.r;
  return html`<h1>What the log has taught</h1>
    <${Links} at="learned" />
    <${Pick} label="Of what" value=${q} list=${QUANTITIES} pick=${set} />
    ${!r && wait(a)}
    ${r &&
    html`<p class="answer">
        ${r.entries ? SHOP_SAYS[q](times(r.shop.factor)) : "Nothing learned yet"}
      </p>
      <p class="proof">
        ${r.entries
          ? `from ${r.entries === 1 ? "1 entry" : `${r.entries} entries`}; 8 of 10 times a new combination will lie between ${times(r.shop.next_spread.p10)} and ${times(r.shop.next_spread.p90)}`
          : "Log a step with its time and what the look said, and plans begin to fit this shop."}
      </p>
      ${r.months.length > 0 && html`<${Months} list=${r.months} />`}
      ${r.factors.length > 0 && html`<${Factors} list=${r.factors} />`}
      ${r.doubted.length > 0 &&
      html`<p class="small">
        Not trusted much: ${r.doubted.map(doubt).join("; ")}.
      </p>`}`}`;
}
