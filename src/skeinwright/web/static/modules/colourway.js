// The editor of a colourway, live. What is typed goes to the server; what follows from it comes back in parts that are put in their places
// without touching any field. A picture is swapped only when the new one has been read, so the yarn never blinks.

import { stop, watch } from "./job.js";

const editor = document.getElementById("editor");
const token = () => editor.querySelector("[name=csrf_token]").value;
const form = () => document.getElementById("colourway");
const sideFolds = () => [...form().querySelectorAll(".side-fold")];
const DELAY_MS = 200;
const PATIENCE_MS = 400;
const BAND_DELAY_MS = 250;
const FULL_DELAY_MS = 900;
const NOT_TYPED = new Set(["csrf_token", "revision", "view", "shown", "beside", "new.do", "new.after", "gone.do", "gone.at", "film", "wish.coverage", "wish.stitch"]);
const WHICH_YARN = new Set(["shown", "beside"]);

let waiting = 0;
let running = null;
let latest = 0;
let banding = null;
let bandWaiting = 0;
let fullWaiting = 0;
let followed = "";

/** What would be saved of a form, as one text. */
function typed(said = form()) {
  const pairs = [...new FormData(said).entries()].filter(([key]) => !NOT_TYPED.has(key) && !/^(gone|what|read)\./.test(key));
  return JSON.stringify(pairs);
}

/** The form as it came, whatever has been typed into it since. */
const asItCame = () => new DOMParser().parseFromString(form().outerHTML, "text/html").forms[0];

let saved = form().hasAttribute("data-unsaved") ? null : typed(asItCame());
const isUnsaved = () => typed() !== saved;

function mark() {
  const place = document.getElementById("unsaved");
  const words = isUnsaved() ? place.dataset.says : "";
  if (place.textContent !== words) place.textContent = words;
}

async function send(url, button) {
  running?.abort();
  banding?.abort();
  clearTimeout(bandWaiting);
  const mine = (running = new AbortController());
  const body = new FormData(form());
  if (button) body.append(button.name, button.value);
  form().toggleAttribute("data-working", true);
  try {
    const answer = await fetch(url, { method: "POST", body, headers: { "X-CSRF-Token": token(), "HX-Request-Type": "partial" }, signal: mine.signal });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (!answer.ok) document.getElementById("unsaved").textContent = page.body.textContent.trim();
    return answer.ok ? page : null;
  } catch (error) {
    if (error.name !== "AbortError") document.getElementById("unsaved").textContent = "The studio does not answer. What you typed is still here.";
    return null;
  } finally {
    if (running === mine) {
      running = null;
      form()?.toggleAttribute("data-working", false);
    }
  }
}

/** Waits for a picture, but not for long: a view that is drawn for the first time comes in on its mat when it is done. */
const ready = (source) => {
  const picture = new Image();
  picture.src = source;
  return Promise.race([picture.decode().catch(() => {}), new Promise((done) => setTimeout(done, PATIENCE_MS))]);
};

/** Puts one part in its place, unless a newer answer has come meanwhile. Pictures are read first. */
async function place(part, round) {
  const target = document.getElementById(part.dataset.part);
  if (!target) return;
  if (part instanceof HTMLImageElement) {
    if (target.getAttribute("src") !== part.getAttribute("src")) {
      await ready(part.src);
      if (round === latest) target.src = part.getAttribute("src");
    }
    return;
  }
  if (target.innerHTML.trim() === part.innerHTML.trim()) return;
  await Promise.all([...part.querySelectorAll("img")].map((one) => ready(one.src)));
  if (round !== latest) return;
  const open = [...target.querySelectorAll("details[open]")].map((one) => one.className);
  const held = target.contains(document.activeElement) ? document.activeElement : null;
  target.replaceChildren(...part.childNodes);
  for (const one of target.querySelectorAll("details")) one.open = open.includes(one.className);
  if (held) queueMicrotask(() => refocus(target, held));
  if (target.id === "yarn") uncover(target);
}

/** On a phone the picture stays on top; when more is said below it, the field that is being typed in does not go under. */
function uncover(mat) {
  const field = document.activeElement;
  if (!form().contains(field) || mat.contains(field) || getComputedStyle(mat).position !== "sticky") return;
  const hidden = mat.getBoundingClientRect().bottom + 8 - field.getBoundingClientRect().top;
  if (hidden > 0 && hidden < mat.offsetHeight) scrollBy(0, -hidden);
}

/** Who was in a part that was replaced stays in it: at the picture that zooms, at a fold, or at what has the same id. */
function refocus(target, held) {
  if (document.activeElement !== document.body) return;
  const fold = held.closest("summary")?.parentElement.className.split(" ").at(-1);
  const again = held.id ? document.getElementById(held.id) : held.matches(".zoom-view") ? target.querySelector(".zoom-view") : fold && target.querySelector(`.${CSS.escape(fold)} > summary`);
  again?.focus({ preventScroll: true });
}

/** Fields that are told to be wrong say so to a screen reader. */
function markWrong() {
  for (const step of form().querySelectorAll("[data-step]")) {
    const wrong = new Set((step.querySelector(".told [data-slots]")?.dataset.slots ?? "").split(" "));
    for (const field of step.querySelectorAll(".value")) {
      if (wrong.has(field.name.split(".").slice(2).join("."))) field.setAttribute("aria-invalid", "true");
      else field.removeAttribute("aria-invalid");
    }
  }
}

async function forecast() {
  const page = await send(form().dataset.live);
  if (!page) return;
  const round = ++latest;
  await Promise.all([...page.querySelectorAll("[data-part]")].map((part) => place(part, round)));
  markWrong();
  bandSoon();
  fullSoon();
}

/** Where dye does not lie evenly, the full forecast follows the quick one when nothing newer is under way; a changed form ends the one before. */
function fullSoon() {
  clearTimeout(fullWaiting);
  const key = form().querySelector("[data-follow]")?.dataset.follow ?? "";
  if (key && key === followed) return;
  endFull();
  if (!key) return;
  fullWaiting = setTimeout(() => full(key), FULL_DELAY_MS);
}

/** Ends a full forecast that is under way as soon as something else is wanted: what is typed next should not wait for it. */
function endFull() {
  clearTimeout(fullWaiting);
  const place = form().querySelector("#laid-job");
  const job = place.querySelector("[data-job]");
  if (job?.dataset.state === "running") stop(job.dataset.job);
  place.replaceChildren();
  followed = "";
}

async function full(key) {
  followed = key;
  try {
    const answer = await fetch(form().dataset.laid, { method: "POST", body: new FormData(form()), headers: { "X-CSRF-Token": token(), "HX-Request-Type": "partial" } });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const begun = page.querySelector("[data-job]");
    if (!answer.ok || followed !== key) return void (answer.ok && begun && stop(begun.dataset.job));
    const place = form().querySelector("#laid-job");
    place.replaceChildren(...page.body.childNodes);
    const job = place.querySelector("[data-job]");
    if (job) watch(job);
  } catch {
    // The quick forecast stands; the next change asks again.
  }
}

addEventListener("pagehide", () => {
  const job = form()?.querySelector("#laid-job [data-job]");
  if (job && job.dataset.state === "running") stop(job.dataset.job);
});

editor.addEventListener("job-done", (event) => {
  event.preventDefault();
  forecast();
});

/** The pot's bands and what is said of it take longer than its lines: they follow when nothing newer is under way. */
function bandSoon() {
  clearTimeout(bandWaiting);
  bandWaiting = setTimeout(band, BAND_DELAY_MS);
}

async function band() {
  const mine = (banding = new AbortController());
  const round = latest;
  document.getElementById("pot-said").toggleAttribute("data-behind", true);
  try {
    const answer = await fetch(form().dataset.pot, { method: "POST", body: new FormData(form()), headers: { "X-CSRF-Token": token(), "HX-Request-Type": "partial" }, signal: mine.signal });
    if (!answer.ok || round !== latest) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    await Promise.all([...page.querySelectorAll("[data-part]")].map((part) => place(part, round)));
    document.getElementById("pot-said").toggleAttribute("data-behind", false);
  } catch {
    // The lines are there without their bands; the next change asks again.
  }
}

/** A press on a step's button: the whole form comes back; the view and the place on the page stay. */
async function change(button) {
  endFull();
  const page = await send(form().dataset.steps, button);
  if (!page) return;
  latest += 1;
  const wasOpen = sideFolds().map((one) => one.open);
  const basesOpen = form().querySelector(".bases-shown").open;
  const focused = document.activeElement?.id;
  const made = page.getElementById("colourway");
  await Promise.all([...made.querySelectorAll(".mat img")].map((one) => ready(one.src)));
  form().replaceWith(document.importNode(made, true));
  for (const [place, one] of sideFolds().entries()) one.open = wasOpen[place];
  if (basesOpen) form().querySelector(".bases-shown").open = true;
  const wanted = form().querySelector("[data-focus]")?.dataset.focus ?? focused;
  const target = wanted && document.getElementById(wanted);
  const inside = target?.matches?.(".step") ? target.querySelector(".value") ?? target : target;
  inside?.focus({ preventScroll: false });
  mark();
  bandSoon();
  followed = "";
  fullSoon();
}

editor.addEventListener("input", (event) => {
  if (event.target.name?.startsWith("new.")) return;
  mark();
  clearTimeout(waiting);
  if (!NOT_TYPED.has(event.target.name) || WHICH_YARN.has(event.target.name)) endFull();
  if (event.target.name === "bases") return void change(null);
  const at_once = event.target.type === "radio" || event.target.type === "checkbox";
  waiting = setTimeout(forecast, at_once ? 0 : DELAY_MS);
});

editor.addEventListener("click", (event) => {
  const button = event.target.closest("button[name=act]");
  if (!button) return;
  event.preventDefault();
  clearTimeout(waiting);
  change(button);
});

editor.addEventListener("click", (event) => {
  if (event.target.closest("[data-open-margin]")) document.getElementById("margin-fold").open = true;
});

editor.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || !event.target.matches("input, textarea.value")) return;
  event.preventDefault();
  clearTimeout(waiting);
  forecast();
});

// A step dragged by its number, with a mouse or pen; a finger scrolls there, and the arrows do the same. A line shows where it would come to lie.
let drag = null;

function overStep(y) {
  const rows = [...form().querySelectorAll(".step")];
  const before = rows.filter((row) => { const box = row.getBoundingClientRect(); return y > box.top + box.height / 2; }).length;
  return { rows, before };
}

function unmarkDrop() {
  for (const row of form().querySelectorAll(".drop-before, .drop-after")) row.classList.remove("drop-before", "drop-after");
}

function endDrag() {
  drag?.row.classList.remove("dragged");
  drag = null;
  unmarkDrop();
}

editor.addEventListener("pointerdown", (event) => {
  const row = event.target.closest(".step .mark")?.closest(".step");
  if (!row || event.button !== 0 || event.pointerType === "touch") return;
  event.preventDefault();
  editor.setPointerCapture(event.pointerId);
  drag = { row, from: [...form().querySelectorAll(".step")].indexOf(row), gap: null, at: event.clientY };
});

editor.addEventListener("pointermove", (event) => {
  if (!drag || (drag.gap === null && Math.abs(event.clientY - drag.at) < 6)) return;
  const { rows, before } = overStep(event.clientY);
  drag.gap = before;
  drag.row.classList.add("dragged");
  unmarkDrop();
  if (before < rows.length) rows[before].classList.add("drop-before");
  else rows.at(-1).classList.add("drop-after");
  if (event.clientY < 60) scrollBy(0, -12);
  if (event.clientY > innerHeight - 60) scrollBy(0, 12);
});

editor.addEventListener("pointerup", () => {
  if (!drag) return;
  const { from, gap } = drag;
  endDrag();
  const to = gap > from ? gap - 1 : gap;
  if (gap !== null && to !== from) {
    clearTimeout(waiting);
    change({ name: "act", value: `move.${from}.${to}` });
  }
});

editor.addEventListener("pointercancel", endDrag);
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") endDrag();
});

let leaving = false;
editor.addEventListener("submit", () => (leaving = true));
addEventListener("pageshow", () => (leaving = false));
addEventListener("beforeunload", (event) => {
  if (!leaving && isUnsaved()) event.preventDefault();
});

bandSoon();
fullSoon();
const phone = matchMedia("(max-width: 47.99rem)");
function foldSides() {
  for (const one of sideFolds()) one.open = !phone.matches;
}
phone.addEventListener("change", foldSides);
if (phone.matches) foldSides();

// What could not be saved is shown where it is wrong; a page that was only opened stays at its top.
if (form().hasAttribute("data-unsaved")) editor.querySelector("[aria-invalid=true]")?.focus({ preventScroll: false });
