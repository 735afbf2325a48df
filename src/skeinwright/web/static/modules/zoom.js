// One zoom and one place for every picture that is shown, however many bases lie beside one another, each with a millimetre rule of its own.
// Buttons, + and - and 0 and the arrows on a picture, pinch, drag, and the wheel with Ctrl or once zoomed in.

const MOST = 8;
const FINE_FROM = 1.5;
const NICE_MM = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];
const RATIO = 3 / 2;

const stage = document.getElementById("editor");
let zoom = 1;
let x = 0;
let y = 0;
const held = new Map();
let pinch = null;
let fineWaiting = 0;

const bar = () => document.getElementById("zoom");
const views = () => [...stage.querySelectorAll("#yarn .zoom-view")];

/** The place stays within the picture: its left upper corner in shares of the picture, of which 1/zoom is seen. */
function clamp() {
  zoom = Math.min(MOST, Math.max(1, zoom));
  x = Math.min(1 - 1 / zoom, Math.max(0, x));
  y = Math.min(1 - 1 / zoom, Math.max(0, y));
}

/** Zooms by a factor about a place of the picture's frame (shares, 0-1). */
export function zoomBy(factor, atX = 0.5, atY = 0.5) {
  const [placeX, placeY] = [x + atX / zoom, y + atY / zoom];
  zoom = Math.min(MOST, Math.max(1, zoom * factor));
  x = placeX - atX / zoom;
  y = placeY - atY / zoom;
  apply();
}

function pan(byX, byY) {
  x += byX / zoom;
  y += byY / zoom;
  apply();
}

function apply() {
  clamp();
  for (const view of views()) {
    const image = view.querySelector("img");
    image.style.transform = zoom === 1 ? "" : `scale(${zoom}) translate(${-100 * x}%, ${-100 * y}%)`;
    view.classList.toggle("zoomed", zoom > 1);
    rule(view);
  }
  const said = bar();
  if (said) {
    said.querySelector(".zoom-now").textContent = `${zoom < 10 ? Number(zoom.toFixed(1)) : Math.round(zoom)} ×`;
    said.querySelector("[data-zoom=whole]").disabled = zoom === 1;
    said.querySelector("[data-zoom=out]").disabled = zoom === 1;
    said.querySelector("[data-zoom=in]").disabled = zoom === MOST;
  }
  clearTimeout(fineWaiting);
  if (zoom >= FINE_FROM) fineWaiting = setTimeout(fine, 250);
}

/** A bar of a round number of millimetres, at most a third of the picture. */
function rule(view) {
  const place = view.querySelector(".zoom-rule");
  const across = Number(place.dataset.across);
  const seen = Math.min(view.clientWidth, view.clientHeight * RATIO);
  place.hidden = !(across > 0 && seen > 0);
  if (place.hidden) return;
  const perMm = (seen / across) * zoom;
  const long = NICE_MM.findLast((mm) => mm * perMm <= seen / 3) ?? NICE_MM[0];
  place.querySelector("i").style.width = `${(long * perMm).toFixed(1)}px`;
  place.querySelector("b").textContent = long >= 100 ? `${long / 10} cm` : `${long} mm`;
}

/** Zoomed in, the picture is fetched with more strands to be seen, and takes the place of the coarse one when it has been read. */
async function fine() {
  for (const view of views()) {
    const image = view.querySelector("img");
    const source = image.getAttribute("src");
    const finer = source.replace(/([?&]size=)(large|middling|small)/, "$1fine");
    if (finer === source) continue;
    const next = new Image();
    next.src = finer;
    try {
      await next.decode();
      if (image.isConnected && image.getAttribute("src") === source && zoom >= FINE_FROM) image.src = finer;
    } catch {
      // The coarse picture stays.
    }
  }
}

/** Puts each picture into a frame that can be zoomed; the server sends plain pictures. */
function frame() {
  const rules = JSON.parse(document.getElementById("zoom-at")?.querySelector("[data-rules]")?.dataset.rules ?? "{}");
  for (const figure of stage.querySelectorAll("#yarn .yarn")) {
    const base = figure.querySelector("figcaption strong")?.textContent ?? "";
    let view = figure.querySelector(".zoom-view");
    if (!view) {
      const image = figure.querySelector("img");
      view = document.createElement("div");
      view.className = "zoom-view";
      view.tabIndex = 0;
      view.setAttribute("role", "group");
      image.replaceWith(view);
      const bar = document.createElement("span");
      bar.className = "zoom-rule";
      bar.append(document.createElement("b"), document.createElement("i"));
      view.append(image, bar);
      image.draggable = false;
    }
    view.setAttribute("aria-label", `${base || "Yarn"}: plus and minus zoom all pictures, the arrows move them, 0 shows the whole`);
    view.querySelector(".zoom-rule").dataset.across = rules[base] ?? 0;
  }
  if (bar()) bar().hidden = views().length === 0;
  apply();
}

const inFrame = (event, view) => {
  const box = view.getBoundingClientRect();
  return [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height, box];
};

stage.addEventListener("click", (event) => {
  const what = event.target.closest?.("[data-zoom]")?.dataset.zoom;
  if (what === "in") zoomBy(1.6);
  if (what === "out") zoomBy(1 / 1.6);
  if (what === "whole") zoomBy(1 / MOST);
});

stage.addEventListener("keydown", (event) => {
  if (!event.target.matches?.(".zoom-view") || event.ctrlKey || event.metaKey || event.altKey) return;
  const by = 0.15;
  const does = {
    "+": () => zoomBy(1.6), "=": () => zoomBy(1.6), "-": () => zoomBy(1 / 1.6), 0: () => zoomBy(1 / MOST),
    ArrowLeft: () => pan(-by, 0), ArrowRight: () => pan(by, 0), ArrowUp: () => pan(0, -by), ArrowDown: () => pan(0, by),
  }[event.key];
  if (!does || (event.key.startsWith("Arrow") && zoom === 1)) return;
  event.preventDefault();
  does();
});

stage.addEventListener("wheel", (event) => {
  const view = event.target.closest?.(".zoom-view");
  if (!view || !(event.ctrlKey || zoom > 1 || document.activeElement === view)) return;
  if (!event.ctrlKey && zoom === 1 && event.deltaY > 0) return;
  event.preventDefault();
  const [atX, atY] = inFrame(event, view);
  zoomBy(Math.exp(-event.deltaY * (event.ctrlKey ? 0.01 : 0.002)), atX, atY);
}, { passive: false });

stage.addEventListener("pointerdown", (event) => {
  const view = event.target.closest?.(".zoom-view");
  if (!view || event.button !== 0) return;
  held.set(event.pointerId, { x: event.clientX, y: event.clientY, view });
  if (zoom > 1 || held.size > 1) view.setPointerCapture(event.pointerId);
  pinch = held.size === 2 ? span() : null;
});

function span() {
  const [a, b] = [...held.values()];
  return { far: Math.hypot(a.x - b.x, a.y - b.y), x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

stage.addEventListener("pointermove", (event) => {
  const one = held.get(event.pointerId);
  if (!one) return;
  const box = one.view.getBoundingClientRect();
  const [byX, byY] = [event.clientX - one.x, event.clientY - one.y];
  one.x = event.clientX;
  one.y = event.clientY;
  if (held.size === 2 && pinch) {
    const now = span();
    zoomBy(now.far / Math.max(pinch.far, 1), (now.x - box.left) / box.width, (now.y - box.top) / box.height);
    pan((pinch.x - now.x) / box.width, (pinch.y - now.y) / box.height);
    pinch = now;
  } else if (held.size === 1 && zoom > 1) pan(-byX / box.width, -byY / box.height);
});

for (const over of ["pointerup", "pointercancel"]) {
  stage.addEventListener(over, (event) => {
    held.delete(event.pointerId);
    pinch = null;
  });
}

new MutationObserver(() => {
  if (stage.querySelector("#yarn .yarn > img") || bar()?.hidden) frame();
}).observe(stage, { childList: true, subtree: true });
addEventListener("resize", apply);
frame();
