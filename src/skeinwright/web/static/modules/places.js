// Pointing at several places in a photo, by number.

import { pointing } from "./pointing.js";
import { make } from "./svg.js";

const pick = document.querySelector("[data-places]");
const form = document.getElementById("places");
const share = Number(pick.dataset.places);
const radios = [...form.querySelectorAll("input[name=place]")];

function goOn() {
  const here = radios.findIndex((radio) => radio.checked);
  radios[(here + 1) % radios.length].checked = true;
}

function paint(drawing, at, width, height) {
  const radius = Math.max(6, share * Math.min(width, height));
  for (const [place, radio] of radios.entries()) {
    const found = at(radio.value);
    if (!found) continue;
    const { x, y } = found;
    for (const [colour, wide] of [["#ffffff", 5], ["#000000", radio.checked ? 3 : 1.5]]) {
      make("circle", { cx: x, cy: y, r: radius, fill: "none", stroke: colour, "stroke-width": wide }, drawing);
    }
    const above = y - radius - 8, below = y + radius + 20;
    const number = make("text", { x, y: y < 40 ? below : above, "text-anchor": "middle", "font-size": 18, "font-weight": 700, fill: "#161616", stroke: "#fbfbfb", "stroke-width": 5, "paint-order": "stroke" }, drawing);
    number.textContent = place + 1;
  }
}

pointing({
  pick,
  form,
  field: (place, axis) => form.elements[`at.${place}.${axis}`],
  chosen: () => radios.find((radio) => radio.checked).value,
  goOn,
  tapped: (isNew) => {
    if (isNew) goOn();
  },
  paint,
});
