// What every page shares: numbers nudge by sensible steps with the arrow keys, errors are brought into view, and nothing typed early is overlooked.

import { isChanged, remember } from "./typed.js";

const STEPS = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100];

/** A step of about a twentieth of the number: 0.3 g moves by 0.01, 200 g by 10. */
function step(number, places) {
  const wanted = Math.max(Math.abs(number) / 20, 10 ** -Math.max(places, number === 0 ? 0 : 2));
  return STEPS.findLast((one) => one <= wanted * 1.0001) ?? STEPS[0];
}

/** The typed text with its first number moved up or down; null where there is no number. */
export function nudged(text, direction) {
  const found = text.match(/\d+(?:[.,]\d+)?/);
  if (!found || /\d\s*[/:]\s*\d/.test(text)) return null;
  const comma = found[0].includes(",");
  const number = Number(found[0].replace(",", "."));
  const by = step(number, (found[0].split(/[.,]/)[1] ?? "").length);
  const moved = Math.max(0, Math.round((number + direction * by) / by) * by);
  const said = String(Number(moved.toFixed(4)));
  return text.slice(0, found.index) + (comma ? said.replace(".", ",") : said) + text.slice(found.index + found[0].length);
}

document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (!(field instanceof HTMLInputElement) || !field.hasAttribute("data-nudge")) return;
  if (event.key !== "ArrowUp" && event.key !== "ArrowDown") return;
  const moved = nudged(field.value, event.key === "ArrowUp" ? 1 : -1);
  if (moved === null) return;
  event.preventDefault();
  field.value = moved;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.dispatchEvent(new Event("change", { bubbles: true }));
});

// What was wrong is not said of a value that has been changed since; whether the new one is right is told beside it or when the form is sent.
document.addEventListener("change", (event) => {
  const box = event.target.closest?.("form[method=post] .field[data-wrong]");
  const told = box?.querySelector(":scope > .wrong[id$='-wrong']");
  if (!told) return;
  box.removeAttribute("data-wrong");
  for (const one of box.querySelectorAll("[aria-invalid]")) one.removeAttribute("aria-invalid");
  for (const one of box.querySelectorAll("[aria-describedby]")) {
    const left = one.getAttribute("aria-describedby").split(/\s+/).filter((id) => id !== told.id);
    if (left.length) one.setAttribute("aria-describedby", left.join(" "));
    else one.removeAttribute("aria-describedby");
  }
  told.style.visibility = "hidden"; // it keeps its room for a moment, lest the button under a finger moves away and the tap is lost
  setTimeout(() => told.remove(), 500);
});

// On paper what things rest on is not folded away, and neither is a margin.
let opened = [];
addEventListener("beforeprint", () => {
  opened = [...document.querySelectorAll("details.more:not([open], :has(input, select, textarea)), .side-fold:not([open]), .side-fold .fold:not([open])")];
  for (const one of opened) one.open = true;
});
addEventListener("afterprint", () => {
  for (const one of opened) one.open = false;
});

// What was typed before the scripts had come, or was put back on the way back here, counts as typed now.
function hearEarlyWords() {
  for (const field of [...document.querySelectorAll("input, select, textarea")].filter(isChanged)) {
    field.dispatchEvent(new Event("input", { bubbles: true }));
    field.dispatchEvent(new Event("change", { bubbles: true }));
  }
}
remember();
document.addEventListener("DOMContentLoaded", () => setTimeout(hearEarlyWords)); // htmx too begins on a timer, which was set before

document.querySelector(".field[data-wrong] input, .field[data-wrong] select, .field[data-wrong] textarea, .problems")?.focus({ preventScroll: false });
