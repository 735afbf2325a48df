// Four points in a photo close up: two marks of a ruler, two places along a strand. Tap, or move the cross with the arrow keys.
// The places are kept in the number fields, in per cent of the photo's width and height; the server does the measuring.

const pick = document.querySelector("[data-points]");
const form = document.getElementById("points");
const picture = pick.querySelector("img");
const drawing = pick.querySelector("svg");
const radios = [...form.querySelectorAll("[name=place]")];
const NAMES = radios.map((radio) => radio.value);

const chosen = () => radios.find((radio) => radio.checked)?.value ?? NAMES[0];
const field = (place, axis) => form.elements[place + axis];

function read(place) {
  const x = parseFloat(field(place, "x").value), y = parseFloat(field(place, "y").value);
  return Number.isFinite(x) && Number.isFinite(y) ? { x, y } : null;
}

function choose(place) {
  for (const radio of radios) radio.checked = radio.value === place;
}

function set(place, x, y) {
  field(place, "x").value = Math.min(100, Math.max(0, x)).toFixed(2);
  field(place, "y").value = Math.min(100, Math.max(0, y)).toFixed(2);
  draw();
  field(place, "y").dispatchEvent(new Event("change", { bubbles: true }));
}

function element(name, attributes) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

function stroke(path, dash) {
  for (const [colour, wide] of [["#ffffff", 4], ["#000000", 1.6]]) drawing.append(element("path", { d: path, fill: "none", stroke: colour, "stroke-width": wide, ...(dash ? { "stroke-dasharray": dash } : {}) }));
}

function draw() {
  const width = picture.clientWidth, height = picture.clientHeight;
  drawing.setAttribute("viewBox", `0 0 ${width} ${height}`);
  drawing.replaceChildren();
  const at = Object.fromEntries(NAMES.map((name) => [name, read(name)]).map(([name, p]) => [name, p && { x: (p.x / 100) * width, y: (p.y / 100) * height }]));
  for (const [a, b, dash] of [["ra", "rb", ""], ["sa", "sb", "8 6"]]) if (at[a] && at[b]) stroke(`M${at[a].x} ${at[a].y}L${at[b].x} ${at[b].y}`, dash);
  for (const name of NAMES) {
    const p = at[name];
    if (!p) continue;
    const r = name === chosen() ? 16 : 11;
    stroke(`M${p.x - r} ${p.y}H${p.x + r}M${p.x} ${p.y - r}V${p.y + r}`);
    if (name === chosen()) stroke(`M${p.x - r} ${p.y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`);
  }
}

pick.addEventListener("click", (event) => {
  const box = picture.getBoundingClientRect();
  const place = chosen();
  set(place, (100 * (event.clientX - box.left)) / box.width, (100 * (event.clientY - box.top)) / box.height);
  const next = NAMES.find((name) => !read(name));
  if (next) choose(next);
  draw();
});

pick.addEventListener("keydown", (event) => {
  const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  if (event.key === "Enter") {
    if (!read(chosen())) set(chosen(), 50, 50);
    choose(NAMES[(NAMES.indexOf(chosen()) + 1) % NAMES.length]);
    draw();
  } else if (event.key in moves) {
    const at = read(chosen()) ?? { x: 50, y: 50 };
    const by = event.shiftKey ? 0.1 : 1;
    set(chosen(), at.x + by * moves[event.key][0], at.y + by * moves[event.key][1]);
  } else {
    return;
  }
  event.preventDefault();
});

for (const radio of radios) radio.addEventListener("change", draw);
new ResizeObserver(draw).observe(picture);
form.addEventListener("input", draw);
draw();
