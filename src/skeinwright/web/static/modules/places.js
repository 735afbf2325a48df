// Pointing at several places in a photo, one after the other. Tap, or move the cross with the arrow keys and go on with Enter.
// The places are kept in the number fields of the form, in per cent of the photo's width and height; the server reads the colours.

const pick = document.querySelector("[data-places]");
const form = document.getElementById("places");
const picture = pick.querySelector("img");
const drawing = pick.querySelector("svg");
const share = Number(pick.dataset.places);
const radios = [...form.querySelectorAll("input[name=place]")];

const chosen = () => radios.find((radio) => radio.checked).value;
const field = (place, axis) => form.elements[`at.${place}.${axis}`];

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

function goOn() {
  const here = radios.findIndex((radio) => radio.checked);
  radios[(here + 1) % radios.length].checked = true;
  draw();
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
  for (const [place, radio] of radios.entries()) {
    const at = read(radio.value);
    if (!at) continue;
    const x = (at.x / 100) * width, y = (at.y / 100) * height;
    for (const [colour, wide] of [["#ffffff", 5], ["#000000", radio.checked ? 3 : 1.5]]) {
      drawing.append(element("circle", { cx: x, cy: y, r: radius, fill: "none", stroke: colour, "stroke-width": wide }));
    }
    const below = y < 40;
    const number = element("text", { x, y: below ? y + radius + 20 : y - radius - 8, "text-anchor": "middle", "font-size": 18, "font-weight": 700, fill: "#161616", stroke: "#fbfbfb", "stroke-width": 5, "paint-order": "stroke" });
    number.textContent = place + 1;
    drawing.append(number);
  }
}

pick.addEventListener("click", (event) => {
  const box = picture.getBoundingClientRect();
  const isNew = !read(chosen());
  set(chosen(), (100 * (event.clientX - box.left)) / box.width, (100 * (event.clientY - box.top)) / box.height);
  if (isNew) goOn();
});

pick.addEventListener("keydown", (event) => {
  const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  if (event.key === "Enter") {
    if (!read(chosen())) set(chosen(), 50, 50);
    goOn();
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
