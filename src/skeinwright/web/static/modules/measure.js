// An opened photo: it flattens, swatches are tapped in order from pale to deep, and outlines of one's own are drawn.

import { flattening } from "./measure-flat.js";
import { order } from "./measure-order.js";
import { pencil, said } from "./measure-pencil.js";
import { make } from "./svg.js";

const figure = document.getElementById("flat");
const byId = (id) => document.getElementById(id);

// A double tap keeps once; and a tap is answered at once, though the photo may have to be read anew.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  if (form.dataset.sent) return event.preventDefault();
  form.dataset.sent = "yes";
  const told = document.createElement("p");
  told.className = "small sent-says";
  told.setAttribute("role", "status");
  told.textContent = "One moment.";
  form.append(told);
});
addEventListener("pageshow", () => {
  document.querySelectorAll("form[data-sent]").forEach((form) => delete form.dataset.sent);
  document.querySelectorAll(".sent-says").forEach((told) => told.remove());
});

if (figure) {
  const svg = figure.querySelector(".over");
  flatten(flattening(figure));
  order(svg);
  if (byId("draw")) draw(svg); // not under a photo that no outline can save
  pointAt(svg);
}

function flatten(picture) {
  const button = byId("as-taken");
  byId("draw-tools").hidden = false;
  if (figure.hasAttribute("data-new")) {
    const here = new URL(location.href);
    here.searchParams.delete("new");
    history.replaceState(null, "", here);
    picture.fromTaken();
  }
  button.addEventListener("click", () => {
    const taken = button.getAttribute("aria-pressed") === "true";
    button.setAttribute("aria-pressed", String(!taken));
    picture.go(taken ? 1 : 0);
  });
}

function draw(svg) {
  const [start, undo, close, use, says] = ["draw", "undo-point", "close-outline", "use-outlines", "draw-says"].map(byId);
  const field = byId("f-outlines");
  const outlines = field.value.split(";").map((one) => one.trim()).filter(Boolean);
  const fresh = [];

  const pen = pencil(svg, {
    step: 2,
    changed(points) {
      close.hidden = points.length < 3;
      undo.hidden = !(points.length || fresh.length);
    },
    closed(points) {
      const drawn = ["halo", "line"].map((kind) => make("polygon", { class: kind, points: said(points) }));
      svg.append(...drawn);
      fresh.push(drawn);
      outlines.push(said(points));
      told();
    },
  });

  function told() {
    use.hidden = !fresh.length;
    undo.hidden = !(fresh.length || pen.count());
    says.textContent = fresh.length ? `${fresh.length} drawn. Draw the next one, or read them.` : "Tap the corners of the yarn, or draw round it in one stroke.";
    field.value = outlines.join("; ");
  }

  start.addEventListener("click", () => {
    const on = start.getAttribute("aria-pressed") !== "true";
    start.setAttribute("aria-pressed", String(on));
    start.textContent = on ? "Stop drawing" : "Draw round the yarn";
    pen.turn(on);
    if (on) told();
    else says.textContent = "";
  });
  undo.addEventListener("click", () => {
    if (pen.count()) return pen.undo();
    fresh.pop()?.forEach((one) => one.remove());
    outlines.pop();
    told();
  });
  close.addEventListener("click", () => pen.close());
  use.addEventListener("click", () => field.form.requestSubmit());
}

/** The place of a swatch of the reference, pointed at once. */
function pointAt(svg) {
  const button = byId("point-at");
  if (!button) return;
  button.hidden = false;
  button.addEventListener("click", () => {
    svg.toggleAttribute("data-drawing", true);
    byId("draw-says").textContent = "Tap the middle of the swatch.";
    figure.scrollIntoView({ block: "center" });
    svg.addEventListener("click", (event) => {
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
      svg.toggleAttribute("data-drawing", false);
      byId("draw-says").textContent = "";
      byId("f-at").value = said([[at.x, at.y]]);
      byId("f-at").focus();
    }, { once: true });
  });
}
