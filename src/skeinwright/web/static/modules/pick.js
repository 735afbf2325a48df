// Pointing at two places in a photo: a white spot and a patch of yarn. Tap, or move the cross with the arrow keys.
// The places are kept in the number fields of the form, in per cent of the photo's width and height; the server reads the colour.

const pick = document.querySelector("[data-pick]");
const form = document.getElementById("places");
const picture = pick.querySelector("img");
const drawing = pick.querySelector("svg");
const share = Number(pick.dataset.pick);
const COLOURS = { w: ["#000000", "#ffffff"], p: ["#ffffff", "#000000"] };

const chosen = () => form.elements.place.value;
const field = (place, axis) => form.elements[place + axis];

function read(place) {
  const x = parseFloat(field(place, "x").value), y = parseFloat(field(place, "y").value);
  return Number.isFinite(x) && Number.isFinite(y) ? { x, y } : null;
}

function set(place, x, y) {
  field(place, "x").value = Math.min(100, Math.max(0, x)).toFixed(1);
  field(place, "y").value = Math.min(100, Math.max(0, y)).toFixed(1);
  draw();
  field(place, "y").dispatchEvent(new Event("change", { bubbles: true }));
}

function choose(place) {
  for (const radio of form.elements.place) radio.checked = radio.value === place;
}

function element(name, attributes) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

function draw() {
  const width = picture.clientWidth, height = picture.clientHeight;
  const radius = Math.max(6, share * Math.min(width, height));
  drawing.setAttribute("viewBox", `0 0 ${width} ${height}`);
  drawing.replaceChildren();
  for (const place of ["w", "p"]) {
    const at = read(place);
    if (!at) continue;
    const x = (at.x / 100) * width, y = (at.y / 100) * height, reach = radius + 14;
    const cross = `M${x - reach} ${y}H${x - radius}M${x + radius} ${y}H${x + reach}M${x} ${y - reach}V${y - radius}M${x} ${y + radius}V${y + reach}`;
    for (const [colour, wide] of [[COLOURS[place][1], 5], [COLOURS[place][0], 2]]) {
      drawing.append(element("circle", { cx: x, cy: y, r: radius, fill: "none", stroke: colour, "stroke-width": wide }), element("path", { d: cross, stroke: colour, "stroke-width": wide }));
    }
    const name = element("text", { x: x + radius + 8, y: y - radius - 8, "font-size": 16, "font-weight": 700, fill: "#161616", stroke: "#fbfbfb", "stroke-width": 4, "paint-order": "stroke" });
    name.textContent = place === "w" ? "white" : "yarn";
    drawing.append(name);
  }
}

pick.addEventListener("click", (event) => {
  const box = picture.getBoundingClientRect();
  const place = chosen();
  set(place, (100 * (event.clientX - box.left)) / box.width, (100 * (event.clientY - box.top)) / box.height);
  if (place === "w" && !read("p")) choose("p");
});

pick.addEventListener("keydown", (event) => {
  const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  if (event.key === "Enter") {
    if (!read(chosen())) set(chosen(), 50, 50);
    choose(chosen() === "w" ? "p" : "w");
  } else if (event.key in moves) {
    const at = read(chosen()) ?? { x: 50, y: 50 };
    const by = event.shiftKey ? 0.2 : 2;
    set(chosen(), at.x + by * moves[event.key][0], at.y + by * moves[event.key][1]);
  } else {
    return;
  }
  event.preventDefault();
});

new ResizeObserver(draw).observe(picture);
form.addEventListener("input", draw);
draw();
