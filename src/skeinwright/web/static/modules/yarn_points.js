// Four points in a photo close up: two marks of a ruler, two places along a strand.

import { pointing } from "./pointing.js";
import { make } from "./svg.js";

const pick = document.querySelector("[data-points]");
const form = document.getElementById("points");
const radios = [...form.querySelectorAll("[name=place]")];
const NAMES = radios.map((radio) => radio.value);

const chosen = () => radios.find((radio) => radio.checked)?.value ?? NAMES[0];

function choose(place) {
  for (const radio of radios) radio.checked = radio.value === place;
}

function stroke(drawing, path, dash) {
  for (const [colour, wide] of [["#ffffff", 4], ["#000000", 1.6]]) make("path", { d: path, fill: "none", stroke: colour, "stroke-width": wide, ...(dash ? { "stroke-dasharray": dash } : {}) }, drawing);
}

function paint(drawing, at) {
  for (const [from, to, dash] of [["ra", "rb", ""], ["sa", "sb", "8 6"]]) {
    const a = at(from), b = at(to);
    if (a && b) stroke(drawing, `M${a.x} ${a.y}L${b.x} ${b.y}`, dash);
  }
  for (const name of NAMES) {
    const p = at(name);
    if (!p) continue;
    const r = name === chosen() ? 16 : 11;
    stroke(drawing, `M${p.x - r} ${p.y}H${p.x + r}M${p.x} ${p.y - r}V${p.y + r}`);
    if (name === chosen()) stroke(drawing, `M${p.x - r} ${p.y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`);
  }
}

pointing({
  pick,
  form,
  field: (place, axis) => form.elements[place + axis],
  chosen,
  goOn: () => choose(NAMES[(NAMES.indexOf(chosen()) + 1) % NAMES.length]),
  tapped: (isNew, read) => {
    const next = NAMES.find((name) => !read(name));
    if (next) choose(next);
  },
  paint,
  by: 1,
  digits: 2,
});
