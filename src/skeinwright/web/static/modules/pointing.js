// Pointing at places in a photo, one after the other. Tap, or move the cross with the arrow keys and go on with Enter.
// The places are kept in the number fields of the form, in per cent of the photo's width and height; the server does the rest.

const MOVES = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/**
 * Makes `pick` (a photo with an svg over it) a thing to point at.
 * `field(place, axis)` is the number field of a place, `chosen()` the place that a tap sets; `goOn(read)` chooses the next one, `tapped(isNew, read)`
 * does so after a tap where that is wanted. `paint(drawing, at, width, height)` draws; `read(place)` is {x, y} in per cent or null, `at(place)` in pixels.
 * An arrow moves by `by` per cent, with Shift by a tenth of that; fields hold `digits` decimals.
 */
export function pointing({ pick, form, field, chosen, goOn, tapped, paint, by = 2, digits = 1 }) {
  const picture = pick.querySelector("img"), drawing = pick.querySelector("svg");

  function read(place) {
    const x = parseFloat(field(place, "x").value), y = parseFloat(field(place, "y").value);
    return Number.isFinite(x) && Number.isFinite(y) ? { x, y } : null;
  }

  function set(place, x, y) {
    field(place, "x").value = Math.min(100, Math.max(0, x)).toFixed(digits);
    field(place, "y").value = Math.min(100, Math.max(0, y)).toFixed(digits);
    draw();
    field(place, "y").dispatchEvent(new Event("change", { bubbles: true }));
  }

  function draw() {
    const width = picture.clientWidth, height = picture.clientHeight;
    const at = (place) => {
      const found = read(place);
      return found && { x: (found.x / 100) * width, y: (found.y / 100) * height };
    };
    drawing.setAttribute("viewBox", `0 0 ${width} ${height}`);
    drawing.replaceChildren();
    paint(drawing, at, width, height);
  }

  pick.addEventListener("click", (event) => {
    const box = picture.getBoundingClientRect(), place = chosen(), isNew = !read(place);
    set(place, (100 * (event.clientX - box.left)) / box.width, (100 * (event.clientY - box.top)) / box.height);
    tapped(isNew, read);
    draw();
  });

  pick.addEventListener("keydown", (event) => {
    const place = chosen();
    if (event.key === "Enter") {
      if (!read(place)) set(place, 50, 50);
      goOn(read);
      draw();
    } else if (event.key in MOVES) {
      const at = read(place) ?? { x: 50, y: 50 };
      const step = event.shiftKey ? by / 10 : by;
      set(place, at.x + step * MOVES[event.key][0], at.y + step * MOVES[event.key][1]);
    } else {
      return;
    }
    event.preventDefault();
  });

  new ResizeObserver(draw).observe(picture);
  form.addEventListener("input", draw);
  draw();
}
