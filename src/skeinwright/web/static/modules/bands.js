// Bands, pours, dips and ties on the drawn open skein. Each step's own field ("20-60 cm") is the truth: what is moved here is written there, and what is
// typed there is drawn here. A band across the tie is two bands in the field and one on the picture.

import { make } from "./svg.js";

const editor = document.getElementById("editor");
const CM = { cm: 1, mm: 0.1, m: 100, in: 2.54, '"': 2.54 };
const ONE = /^\s*(\d+(?:[.,]\d+)?)\s*(cm|mm|m|in|")?\s*(?:-|–|−|\bto\b)\s*(\d+(?:[.,]\d+)?)\s*(cm|mm|m|in|")\s*$/i;
const LEAST_CM = 1;
const TARGET_PX = 46;

let root = null;
let wasOpen = false;
let chosen = "";
let held = null;
let takenOut = null;
let written = { text: null, bands: [] };

const number = (text) => Number(String(text).trim().replace(",", "."));
const rounded = (cm) => Math.round(cm * 10) / 10;
const said = (cm) => String(rounded(cm));
const around = () => Number(root.dataset.round);
const button = () => root.querySelector(`.bands-step[data-field="${CSS.escape(chosen)}"]`);
const field = (name = chosen) => editor.querySelector(`[name="${CSS.escape(name)}"]`);

/** "0-20 cm, 130-150 cm" as [[from, to], ...] in cm; [] for all or white; null where it cannot be read. */
export function bandsIn(text, round) {
  const plain = text.trim().toLowerCase();
  if (plain === "all" || plain === "white" || plain === "") return [];
  const bands = [];
  for (const piece of text.split(/\s*(?:;|(?<![0-9]),|,(?![0-9])|\band\b)\s*/)) {
    const found = piece.match(ONE);
    if (!found) return null;
    const unit = found[4].toLowerCase();
    const from = number(found[1]) * CM[(found[2] ?? unit).toLowerCase()];
    const to = number(found[3]) * CM[unit];
    if (!(to > from) || from >= round) return null;
    bands.push([from, Math.min(to, from + round)]);
  }
  const first = bands.find(([from]) => from < 0.05);
  const last = bands.find(([, to]) => Math.abs(to - round) < 0.05);
  if (first && last && first !== last) {
    last[1] = round + first[1];
    bands.splice(bands.indexOf(first), 1);
  }
  return bands;
}

/** The same as a field's text. */
export function textOf(bands, round) {
  const parts = bands.flatMap(([from, to]) => {
    if (to <= round + 0.049) return [[from, Math.min(to, round)]];
    return [[from, round], [0, to - round]];
  });
  return parts.map(([from, to]) => `${said(from)}-${said(to)} cm`).join(", ");
}

/** The chosen step's bands. What was written here is remembered, so that bands that touch at the tie stay two. */
function read() {
  const text = field()?.value || button().dataset.usual;
  return text === written.text ? written.bands.map((band) => [...band]) : bandsIn(text, around());
}

/** Writes into the step's field, and tells the page, as if it had been typed. */
function write(bands, by) {
  const target = field();
  if (!target) return;
  written = { text: textOf(bands, around()), bands };
  target.value = written.text;
  draw(bands);
  if (by !== "row") rows(bands);
  words();
  target.dispatchEvent(new CustomEvent("input", { bubbles: true, detail: "bands" }));
}

/** One end moved to `cm`, or the whole band moved so that its middle lies there. A band keeps at least a centimetre and at most once round. */
function moved(band, end, cm) {
  const round = around();
  let [from, to] = band;
  const back = (x) => ((x % round) + round) % round;
  if (end === "whole") {
    const long = to - from;
    from = back(cm - long / 2);
    return [rounded(from), rounded(from + long)];
  }
  if (end === "from") {
    let by = back(cm - from + round / 2) - round / 2;
    by = Math.max(Math.min(by, to - from - LEAST_CM), to - from - round);
    from += by;
  } else {
    let by = back(cm - to + round / 2) - round / 2;
    by = Math.min(Math.max(by, LEAST_CM - (to - from)), round - (to - from));
    to += by;
  }
  const turn = from - back(from);
  return [rounded(from - turn), rounded(to - turn)];
}

/** The place (x, y) and outward direction of a distance from the tie. */
function placeOf(cm) {
  const line = root.querySelector(".bands-line");
  const long = line.getTotalLength();
  const s = ((((cm / around()) % 1) + 1) % 1) * long;
  const a = line.getPointAtLength((s - 2 + long) % long);
  const b = line.getPointAtLength((s + 2) % long);
  const p = line.getPointAtLength(s);
  const size = Math.hypot(b.x - a.x, b.y - a.y) || 1;
  return { x: p.x, y: p.y, nx: (b.y - a.y) / size, ny: -(b.x - a.x) / size };
}

/** How far from the tie the loop is that lies nearest to a point of the picture. */
function nearest(x, y) {
  const line = root.querySelector(".bands-line");
  const long = line.getTotalLength();
  let best = [Infinity, 0];
  for (let k = 0; k < 600; k += 1) {
    const p = line.getPointAtLength((k / 600) * long);
    const off = (p.x - x) ** 2 + (p.y - y) ** 2;
    if (off < best[0]) best = [off, k / 600];
  }
  return best[1] * around();
}

/** Units of the drawing in one CSS pixel: handles keep their size on a phone. */
const unit = () => 900 / (root.querySelector("svg").getBoundingClientRect().width || 900);

function draw(bands) {
  const group = root.querySelector(".bands-drawn");
  const focused = group.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  group.replaceChildren();
  const u = unit();
  const half = 0.56 * Number(root.dataset.breadth);
  scale(u, half);
  (bands ?? []).forEach((band, which) => {
    outline(group, band, half, u);
    knob(group, which, "from", band, half + 16 * u, u);
    knob(group, which, "whole", band, 0, u);
    knob(group, which, "to", band, -half - 16 * u, u);
  });
  if (focused) group.querySelector(`[data-key="${focused}"]`)?.focus({ preventScroll: true });
}

/** Ends across the limb and its two sides: a black line on a white one. */
function outline(group, [from, to], half, u) {
  const count = Math.max(2, Math.ceil((to - from) / around() * 120));
  const sides = [half, -half].map((off) =>
    Array.from({ length: count + 1 }, (_, k) => {
      const p = placeOf(from + ((to - from) * k) / count);
      return `${(p.x + off * p.nx).toFixed(1)} ${(p.y + off * p.ny).toFixed(1)}`;
    }),
  );
  const d = `M${sides[0].join("L")}L${sides[1].reverse().join("L")}Z`;
  make("path", { class: "bands-edge-under", d, "stroke-width": 5 * u }, group);
  make("path", { class: "bands-edge", d, "stroke-width": 2 * u }, group);
}

function knob(group, which, end, band, off, u) {
  const cm = end === "from" ? band[0] : end === "to" ? band[1] : (band[0] + band[1]) / 2;
  const p = placeOf(cm);
  const [x, y] = [p.x + off * p.nx, p.y + off * p.ny];
  const round = around();
  const now = rounded(((cm % round) + round) % round);
  const name = { from: "begins", to: "ends", whole: "as a whole, its middle" }[end];
  const g = make("g", {
    class: "bands-knob", role: "slider", tabindex: "0", "data-key": `${which}.${end}`, "aria-label": `Step ${button().dataset.step}, band ${which + 1} ${name}`,
    "aria-valuemin": "0", "aria-valuemax": String(round), "aria-valuenow": String(now), "aria-valuetext": `${said(now)} cm from the tie`,
  }, group);
  const r = (end === "whole" ? 7 : 9) * u;
  make("circle", { class: "bands-hit", cx: x, cy: y, r: (TARGET_PX / 2) * u }, g);
  make("circle", { class: "bands-ring", cx: x, cy: y, r: r + 5 * u, "stroke-width": 3 * u }, g);
  if (end === "whole") make("rect", { class: "bands-dot", x: x - r, y: y - r, width: 2 * r, height: 2 * r, "stroke-width": 2 * u }, g);
  else make("circle", { class: "bands-dot", cx: x, cy: y, r, "stroke-width": 2 * u }, g);
  if (end !== "whole") make("line", { class: "bands-edge", x1: x, y1: y, x2: p.x + off * 0.7 * p.nx, y2: p.y + off * 0.7 * p.ny, "stroke-width": 2 * u }, g).before(g.querySelector(".bands-dot"));
}

/** A tick every 10 cm inside the loop, a number every 50. */
function scale(u, half) {
  const group = root.querySelector(".bands-scale");
  group.replaceChildren();
  const every = around() > 400 ? 50 : 10;
  for (let cm = 0; cm < around() - 0.3 * every; cm += every) {
    const p = placeOf(cm);
    const long = cm % (5 * every) === 0 ? 12 : 6;
    const [a, b] = [-half - 2 * u, -half - (2 + long) * u];
    make("line", { class: "bands-edge", x1: p.x + a * p.nx, y1: p.y + a * p.ny, x2: p.x + b * p.nx, y2: p.y + b * p.ny, "stroke-width": u }, group);
    if (cm % (5 * every) === 0) {
      const c = -half - 26 * u;
      const text = make("text", { transform: `translate(${p.x + c * p.nx} ${p.y + c * p.ny}) scale(${13 * u})` }, group);
      text.textContent = cm === 0 ? "tie" : String(cm);
    }
  }
}

function rows(bands) {
  const list = root.querySelector(".bands-rows");
  const row = root.querySelector("#bands-row");
  list.replaceChildren(...(bands ?? []).map(([from, to], which) => {
    const made = row.content.firstElementChild.cloneNode(true);
    made.dataset.which = which;
    made.querySelector(".bands-name").textContent = `Band ${which + 1}`;
    const [a, b] = made.querySelectorAll("input");
    a.value = said(from);
    b.value = said(to > around() + 0.049 ? to - around() : to);
    const out = made.querySelector("button");
    out.disabled = bands.length === 1;
    if (out.disabled) out.title = "A step has at least one band, or all of the skein: take the step itself out, or write all in its field.";
    out.setAttribute("aria-label", `Take band ${which + 1} out`);
    return made;
  }));
}

function wrong(sentence) {
  const place = root.querySelector(".bands-wrong");
  place.hidden = !sentence;
  place.firstElementChild.textContent = sentence;
}

/** What each step's button says. */
function words() {
  for (const one of root.querySelectorAll(".bands-step")) {
    one.querySelector(".bands-over").textContent = field(one.dataset.field)?.value || one.dataset.usual;
    one.setAttribute("aria-pressed", String(one.dataset.field === chosen));
  }
}

function show() {
  if (!root) return;
  const bands = read();
  words();
  draw(bands);
  rows(bands);
  wrong(bands === null ? `"${field().value}" is not read as bands here; write it as 20-60 cm in the step, or add a band.` : "");
  picture();
}

/** The picture is fetched only while somebody looks at it. */
async function picture() {
  const place = document.getElementById("bands-at")?.querySelector("[data-src]");
  if (!root.open || !place) return;
  const image = root.querySelector(".bands-mat img");
  const source = place.dataset.src;
  if (image.getAttribute("src") === source) return;
  const next = new Image();
  next.src = source;
  await next.decode().catch(() => {});
  if (document.getElementById("bands-at")?.querySelector("[data-src]")?.dataset.src === source) image.src = source;
}

function begin() {
  root = document.getElementById("bands");
  if (!root) return;
  root.hidden = false;
  root.open = wasOpen;
  if (!button()) chosen = root.querySelector(".bands-step").dataset.field;
  root.querySelector(".bands-back").hidden = true;
  show();
}

function add() {
  const bands = read() ?? [];
  const round = around();
  const edges = [...bands].sort((a, b) => a[0] - b[0]);
  let gap = [bands.length ? 0 : round, 0];
  edges.forEach(([, to], k) => {
    const next = k + 1 < edges.length ? edges[k + 1][0] : edges[0][0] + round;
    if (next - to > gap[0]) gap = [next - to, to];
  });
  const long = Math.max(LEAST_CM, Math.min(20, Math.floor(gap[0] / 2) || LEAST_CM));
  const from = Math.round(gap[1] + (gap[0] - long) / 2) % round;
  write([...bands, bands.length ? [from, from + long] : [0, long]]);
  wrong("");
  root.querySelector(`[data-key="${bands.length}.from"]`)?.focus({ preventScroll: true });
}

function takeOut(which) {
  const bands = read() ?? [];
  takenOut = { field: chosen, text: field().value };
  write(bands.filter((_, k) => k !== which));
  const back = root.querySelector(".bands-back");
  back.hidden = false;
  back.focus();
}

editor.addEventListener("click", (event) => {
  if (!root?.contains(event.target)) return;
  const step = event.target.closest(".bands-step");
  if (step) {
    chosen = step.dataset.field;
    root.querySelector(".bands-back").hidden = true;
    show();
  }
  if (event.target.closest(".bands-add")) add();
  const row = event.target.closest(".bands-row");
  if (row && event.target.closest("button")) takeOut(Number(row.dataset.which));
  if (event.target.closest(".bands-back") && takenOut) {
    const target = field(takenOut.field);
    if (target) target.value = takenOut.text;
    chosen = takenOut.field;
    root.querySelector(".bands-back").hidden = true;
    show();
    target?.dispatchEvent(new CustomEvent("input", { bubbles: true, detail: "bands" }));
    root.querySelector(".bands-add").focus();
  }
});

editor.addEventListener("toggle", (event) => {
  if (event.target !== root) return;
  wasOpen = root.open;
  if (root.open) show();
}, true);

// Typed numbers: in the rows, and in the steps' own fields.
editor.addEventListener("input", (event) => {
  if (!root || event.detail === "bands") return;
  const row = event.target.closest?.(".bands-row");
  if (!row) {
    if (event.target.name && root.querySelector(`.bands-step[data-field="${CSS.escape(event.target.name)}"]`)) show();
    return;
  }
  const bands = read() ?? [];
  const [from, to] = [...row.querySelectorAll("input")].map((one) => number(one.value));
  const round = around();
  const fits = from >= 0 && from < round && to > 0 && to <= round && from !== to;
  for (const one of row.querySelectorAll("input")) {
    if (fits) one.removeAttribute("aria-invalid");
    else one.setAttribute("aria-invalid", "true");
  }
  wrong(fits ? "" : `Band ${Number(row.dataset.which) + 1} begins and ends between 0 and ${said(round)} cm from the tie; write two different numbers.`);
  if (!fits) return;
  bands[Number(row.dataset.which)] = [from, to > from ? to : to + round];
  write(bands, "row");
});

editor.addEventListener("keydown", (event) => {
  if (!root?.contains(event.target)) return;
  const way = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
  if (!way) return;
  const by = way * (event.shiftKey ? 5 : 1);
  const knobbed = event.target.closest(".bands-knob");
  if (knobbed) {
    event.preventDefault();
    const [which, end] = knobbed.dataset.key.split(".");
    const bands = read();
    const band = bands[which];
    const cm = end === "from" ? band[0] : end === "to" ? band[1] : (band[0] + band[1]) / 2;
    bands[which] = moved(band, end, cm + by);
    write(bands);
  } else if (event.target.closest(".bands-row") && event.key.match(/Up|Down/) && event.target.matches("input")) {
    event.preventDefault();
    const cm = number(event.target.value);
    if (Number.isNaN(cm)) return;
    event.target.value = said(Math.min(around(), Math.max(0, cm + by)));
    event.target.dispatchEvent(new Event("input", { bubbles: true }));
  }
});

// Dragging: among handles that lie over one another the nearest is taken.
function inDrawing(event) {
  const box = root.querySelector("svg").getBoundingClientRect();
  return [((event.clientX - box.left) / box.width) * 900, ((event.clientY - box.top) / box.height) * 600];
}

editor.addEventListener("pointerdown", (event) => {
  if (!root || event.button !== 0 || !event.target.closest?.(".bands-knob")) return;
  event.preventDefault();
  const [x, y] = inDrawing(event);
  const off = (one) => {
    const hit = one.querySelector(".bands-hit");
    return Math.hypot(Number(hit.getAttribute("cx")) - x, Number(hit.getAttribute("cy")) - y);
  };
  const knobs = [...root.querySelectorAll(".bands-knob")];
  const taken = knobs.reduce((best, one) => (off(one) < off(best) ? one : best));
  const [which, end] = taken.dataset.key.split(".");
  const band = read()[which];
  const cm = end === "from" ? band[0] : end === "to" ? band[1] : (band[0] + band[1]) / 2;
  held = { which, end, key: taken.dataset.key, off: cm - nearest(x, y) };
  root.querySelector("svg").setPointerCapture(event.pointerId);
  taken.focus({ preventScroll: true });
});

// A finger on a handle moves it and not the page: the drawing is made anew meanwhile, so the style's touch-action is not enough.
editor.addEventListener("touchstart", (event) => {
  if (event.target.closest?.(".bands-knob")) event.preventDefault();
}, { passive: false });

editor.addEventListener("pointermove", (event) => {
  if (!held) return;
  const bands = read();
  if (!bands?.[held.which]) return;
  const next = moved(bands[held.which], held.end, Math.round(nearest(...inDrawing(event)) + held.off));
  if (String(next) === String(bands[held.which])) return;
  bands[held.which] = next;
  write(bands);
  root.querySelector(`[data-key="${held.key}"]`)?.classList.add("held");
});

for (const over of ["pointerup", "pointercancel"]) {
  editor.addEventListener(over, () => {
    held = null;
    root?.querySelector(".held")?.classList.remove("held");
  });
}

new MutationObserver(() => {
  if (!root?.isConnected || root.hidden) begin();
  else picture();
}).observe(editor, { childList: true, subtree: true });
addEventListener("resize", () => root?.open && draw(read()));
begin();
