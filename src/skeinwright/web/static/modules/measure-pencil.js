// Drawing in a picture by finger, pen or mouse: taps set corners, a stroke draws freely and closes by itself.
// Places are in the units of the drawing's own viewBox.

import { make } from "./svg.js";

export const said = (points) => points.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" ");

/**
 * A pencil on `svg`. `step` is how far a stroke goes before it sets a point, `most` how many taps there can be;
 * `changed(points)` is told of every point, `closed(points)` of a whole outline.
 */
export function pencil(svg, { step, free = true, most = Infinity, changed = () => {}, closed = () => {} }) {
  const points = [];
  const halo = svg.appendChild(make("polyline", { class: "halo" }));
  const line = svg.appendChild(make("polyline", { class: "line" }));
  const dots = svg.appendChild(make("g", { class: "dots" }));
  let on = false, stroke = null;

  function place(event) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    const box = svg.viewBox.baseVal;
    return [Math.min(box.width, Math.max(0, at.x)), Math.min(box.height, Math.max(0, at.y))];
  }

  function draw() {
    for (const one of [halo, line]) one.setAttribute("points", said(points));
    dots.replaceChildren(...points.map(([x, y]) => make("line", { x1: x, y1: y, x2: x + 0.001, y2: y })));
    changed(points);
  }

  function close() {
    if (points.length < 3) return;
    const done = points.splice(0);
    draw();
    closed(done);
  }

  svg.addEventListener("pointerdown", (event) => {
    if (!on || !event.isPrimary) return;
    event.preventDefault();
    svg.setPointerCapture(event.pointerId);
    stroke = { start: place(event), count: 0 };
  });
  svg.addEventListener("pointermove", (event) => {
    if (!on || !stroke || !free) return;
    const at = place(event), last = stroke.count ? points.at(-1) : stroke.start;
    if (Math.hypot(at[0] - last[0], at[1] - last[1]) < step) return;
    if (!stroke.count) points.push(stroke.start);
    points.push(at);
    stroke.count += 1;
    draw();
  });
  svg.addEventListener("pointerup", (event) => {
    if (!on || !stroke) return;
    const drawn = stroke.count;
    stroke = null;
    if (drawn > 3) return close();
    if (points.length >= most) points.length = 0;
    points.push(place(event));
    draw();
  });
  svg.addEventListener("pointercancel", () => { // two fingers make the picture larger: what the first had begun to draw was not meant
    if (!stroke) return;
    if (stroke.count) points.splice(-stroke.count - 1);
    stroke = null;
    draw();
  });

  return {
    close,
    count: () => points.length,
    turn(value) {
      on = value;
      svg.toggleAttribute("data-drawing", value);
    },
    undo() {
      points.pop();
      draw();
    },
    set(found) {
      points.splice(0, points.length, ...found);
      draw();
    },
  };
}
