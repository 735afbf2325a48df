// Pointing at two places in a photo: a white spot and a patch of yarn.

import { pointing } from "./pointing.js";
import { make } from "./svg.js";

const pick = document.querySelector("[data-pick]");
const form = document.getElementById("places");
const share = Number(pick.dataset.pick);
const COLOURS = { w: ["#000000", "#ffffff"], p: ["#ffffff", "#000000"] };

const chosen = () => form.elements.place.value;

function choose(place) {
  for (const radio of form.elements.place) radio.checked = radio.value === place;
}

function paint(drawing, at, width, height) {
  const radius = Math.max(6, share * Math.min(width, height));
  for (const place of ["w", "p"]) {
    const found = at(place);
    if (!found) continue;
    const { x, y } = found, reach = radius + 14;
    const cross = `M${x - reach} ${y}H${x - radius}M${x + radius} ${y}H${x + reach}M${x} ${y - reach}V${y - radius}M${x} ${y + radius}V${y + reach}`;
    for (const [colour, wide] of [[COLOURS[place][1], 5], [COLOURS[place][0], 2]]) {
      make("circle", { cx: x, cy: y, r: radius, fill: "none", stroke: colour, "stroke-width": wide }, drawing);
      make("path", { d: cross, stroke: colour, "stroke-width": wide }, drawing);
    }
    const name = make("text", { x: x + radius + 8, y: y - radius - 8, "font-size": 16, "font-weight": 700, fill: "#161616", stroke: "#fbfbfb", "stroke-width": 4, "paint-order": "stroke" }, drawing);
    name.textContent = place === "w" ? "white" : "yarn";
  }
}

pointing({
  pick,
  form,
  field: (place, axis) => form.elements[place + axis],
  chosen,
  goOn: () => choose(chosen() === "w" ? "p" : "w"),
  tapped: (isNew, read) => {
    if (chosen() === "w" && !read("p")) choose("p");
  },
  paint,
});
