// Framing yarn in a photo that has no photo sheet: two taps set the corners, a third one something white. The fields below can be typed as well.

import { make } from "./svg.js";

const box = document.getElementById("frame-in");
const frame = document.getElementById("r-frame");
const white = document.getElementById("r-white");
const says = document.getElementById("frame-says");
const tools = document.getElementById("frame-tools");

if (box && frame && white) {
  const over = box.querySelector("svg");
  let corners = places(frame.value).slice(0, 2);
  let mode = "frame";

  tools.hidden = false;
  tools.addEventListener("click", (event) => {
    const button = event.target.closest("[data-mode]");
    if (!button) return;
    choose(button.dataset.mode);
    if (mode === "frame") corners = [];
    tell();
  });
  over.addEventListener("click", (event) => {
    const at = over.getBoundingClientRect();
    const place = [(100 * (event.clientX - at.left)) / at.width, (100 * (event.clientY - at.top)) / at.height].map((value) => Math.round(10 * value) / 10);
    if (mode === "white") white.value = place.join(",");
    else {
      corners = corners.length < 2 ? [...corners, place] : [place];
      frame.value = corners.length === 2 ? corners.map((one) => one.join(",")).join(" ") : "";
      if (corners.length === 2) choose("white");
    }
    draw();
    tell();
  });
  for (const field of [frame, white])
    field.addEventListener("input", () => {
      corners = places(frame.value).slice(0, 2);
      draw();
    });
  draw();
  tell();

  function choose(wanted) {
    mode = wanted;
    for (const one of tools.querySelectorAll("[data-mode]")) one.setAttribute("aria-pressed", String(one.dataset.mode === mode));
  }

  function tell() {
    if (mode === "white") says.textContent = white.value ? "The white is set. Find overdyes when the frame is right." : "Now tap something white beside the yarn, or leave that out.";
    else says.textContent = ["Tap one corner of a frame round the yarn.", "Tap the opposite corner.", ""][corners.length];
  }

  function draw() {
    over.replaceChildren();
    if (corners.length === 2) {
      const [[x0, y0], [x1, y1]] = corners;
      for (const name of ["halo", "line"]) make("rect", { class: name, x: Math.min(x0, x1), y: Math.min(y0, y1), width: Math.abs(x1 - x0), height: Math.abs(y1 - y0) }, over);
    } else for (const place of corners) spot(place);
    for (const place of places(white.value).slice(0, 1)) spot(place);
  }

  function spot([x, y]) {
    for (const name of ["spot", "spot inner"]) make("line", { class: name, x1: x, y1: y, x2: x, y2: y }, over);
  }
}

function places(text) {
  return text
    .trim()
    .split(/[\s;]+/)
    .map((part) => part.split(",").map(Number))
    .filter((pair) => pair.length === 2 && pair.every(Number.isFinite));
}
