// A lot sheet that stays the same in every window: while it can be seen it looks again every 15 seconds, and never takes away what is being typed.

const EVERY_MS = 15000;
const keep = document.querySelector("#keep");

/** Ids of the blocks that must stay as they are: one that was opened, holds a correction, holds the caret or holds something typed. */
function busy(except) {
  return [...document.querySelectorAll("[data-block]")]
    .filter((block) => block !== except && isBusy(block))
    .map((block) => block.id);
}

function isBusy(block) {
  if (block.hasAttribute("data-open") || block.querySelector("[data-typing]")) return true;
  const caret = document.activeElement;
  if (block.contains(caret) && caret.matches("input:not([type=hidden]), textarea, select")) return true;
  return [...block.querySelectorAll("input[type=text], input:not([type]), input[type=file], textarea")].some((one) => one.value !== one.defaultValue);
}

function remember(except = null) {
  if (keep) keep.value = busy(except).join(" ");
}

// What is sent from a block may change that block.
document.addEventListener("submit", (event) => remember(event.target.closest("[data-block]")), true);

function lookAgain() {
  const element = document.querySelector("#look-again");
  if (!element || document.visibilityState !== "visible") return;
  remember();
  element.dispatchEvent(new CustomEvent("look-again"));
}

setInterval(lookAgain, EVERY_MS);
document.addEventListener("visibilitychange", lookAgain);

// "Next step" goes to the step that is next now, which changes while the page stands.
document.addEventListener("click", (event) => {
  if (!event.target.closest?.("[data-next]")) return;
  const next = document.querySelector(".step.next");
  if (!next) return;
  event.preventDefault();
  next.scrollIntoView({ block: "start" });
  next.querySelector("button, a")?.focus({ preventScroll: true });
});

// A part that was opened, and the next skein to weigh, take the caret.
document.addEventListener("htmx:after:swap", () => {
  const wanted = [...document.querySelectorAll(".paper [autofocus]")].find((one) => !one.dataset.focused);
  if (wanted) {
    wanted.dataset.focused = "yes";
    wanted.focus({ preventScroll: true });
  }
});

// A double tap ticks once: what comes into the row's place under the finger is not pressed by the second tap.
let sentAt = 0;
document.addEventListener("submit", () => { sentAt = Date.now(); }, true);
document.addEventListener("click", (event) => {
  if (Date.now() - sentAt > 700 || !event.target.closest("a.whole, .undo-step")) return;
  event.preventDefault();
  event.stopPropagation();
}, true);
