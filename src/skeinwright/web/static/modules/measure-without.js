// A photo without the sheet: pointing at a known length or rectangle, and drawing round the yarn; the fields are in per cent of the photo.

import { pencil, said } from "./measure-pencil.js";
import { make } from "./svg.js";

const frame = document.getElementById("point-in");
const form = document.getElementById("sizes");
const [points, outlines] = [form.elements.points, form.elements.outlines];
const [onPoints, onOutline, undo, close] = ["mode-points", "mode-outline", "undo-point", "close-outline"].map((id) => document.getElementById(id));
const wanted = () => (form.elements.by.value === "length" ? 2 : 4);

function read(text) {
  const pairs = text.trim().split(/\s+/).filter(Boolean).map((one) => one.split(",").map(Number));
  return pairs.filter((one) => one.length === 2 && one.every(Number.isFinite));
}

let pen = null;
let mode = "";

function use(next) {
  if (mode === next) return;
  mode = next;
  const old = frame.querySelector(".over");
  const fresh = old.cloneNode(true); // a new sheet of paper: the last pencil's listeners go with the old one
  fresh.querySelectorAll(`polyline:not(.known), .dots${next === "points" ? ", .known" : ""}`).forEach((one) => one.remove());
  old.replaceWith(fresh);
  onPoints.setAttribute("aria-pressed", String(mode === "points"));
  onOutline.setAttribute("aria-pressed", String(mode === "outline"));
  close.hidden = true;
  if (mode === "points") {
    pen = pencil(fresh, { step: 100, free: false, most: wanted(), changed: (found) => { points.value = said(found); } });
    pen.set(read(points.value));
  } else {
    if (points.value && !fresh.querySelector(".known")) fresh.prepend(...["halo", "line"].map((kind) => make("polyline", { class: `${kind} known`, points: points.value })));
    pen = pencil(fresh, {
      step: 1,
      changed: (found) => { close.hidden = found.length < 3; },
      closed(found) {
        outlines.value = [outlines.value.trim(), said(found)].filter(Boolean).join("; ");
        fresh.prepend(make("polygon", { class: "halo", points: said(found) }), make("polygon", { class: "line", points: said(found) }));
      },
    });
  }
  pen.turn(true);
}

document.getElementById("point-tools").hidden = false;
onPoints.addEventListener("click", () => use("points"));
onOutline.addEventListener("click", () => use("outline"));
undo.addEventListener("click", () => pen.undo());
close.addEventListener("click", () => pen.close());
for (const one of form.elements.by) {
  one.addEventListener("change", () => {
    mode = "";
    points.value = "";
    use("points");
  });
}
use(points.value ? "outline" : "points");
