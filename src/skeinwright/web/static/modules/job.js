// Work in the background: asks how far it is, fills the hairline, and when it is done puts what it made in the place of the line.
// The element may hand over to the page itself: it sends "job-done", which the page can prevent and answer in its own way.

const EVERY_MS = 300;
const TRIES = 5;
const watched = new WeakSet();
const sleep = (ms) => new Promise((done) => setTimeout(done, ms));
const token = () => document.querySelector("[name=csrf_token]")?.value ?? JSON.parse(document.body.getAttribute("hx-headers:inherited") ?? "{}")["X-CSRF-Token"] ?? "";

/** Puts how far it is, `told.fraction` (0-1) and `told.sentence`, on the line and into the words of `box`. */
export function shown(box, told) {
  box.querySelector(".job-line").style.setProperty("--done", told.fraction);
  const bar = box.querySelector("[role=progressbar]");
  bar.setAttribute("aria-valuenow", String(Math.round(100 * told.fraction)));
  const words = box.querySelector(".job-says");
  if (words.textContent !== told.sentence) words.textContent = told.sentence;
}

async function ask(box) {
  for (let missed = 0; missed < TRIES; ) {
    try {
      const answer = await fetch(box.dataset.job, { headers: { Accept: "application/json" } });
      if (answer.status === 404) return null;
      if (answer.ok) return await answer.json();
    } catch {
      // The network may be away for a moment.
    }
    missed += 1;
    await sleep(EVERY_MS * missed);
  }
  return null;
}

async function finish(box, told) {
  const then = told.then ?? box.dataset.then;
  const event = new CustomEvent("job-done", { bubbles: true, cancelable: true, detail: { then, told } });
  if (!box.dispatchEvent(event) || !then) return;
  if (box.dataset.into === "page") return void location.assign(then);
  const answer = await fetch(then, { headers: { "HX-Request-Type": "partial" } });
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const target = (box.dataset.into && document.querySelector(box.dataset.into)) || box;
  target.replaceWith(...[...page.body.childNodes].map((node) => document.importNode(node, true)));
  watchAll();
}

export async function watch(box) {
  if (watched.has(box)) return;
  watched.add(box);
  while (box.isConnected) {
    const told = await ask(box);
    if (!box.isConnected) return;
    if (!told) {
      shown(box, { fraction: 0, sentence: "The studio does not answer any more. Reload the page to begin again." });
      return;
    }
    shown(box, told);
    if (told.state !== "running") {
      box.dataset.state = told.state;
      box.querySelector("form, [data-stop]")?.remove();
      if (told.state === "done") await finish(box, told);
      else box.dispatchEvent(new CustomEvent("job-over", { bubbles: true, detail: { told } }));
      return;
    }
    await sleep(EVERY_MS);
  }
}

/** Stops a job from a script. */
export function stop(url) {
  return fetch(`${url}/stop`, { method: "POST", headers: { "X-CSRF-Token": token() }, keepalive: true }).catch(() => {});
}

export function watchAll(within = document) {
  for (const box of within.querySelectorAll("[data-job]")) watch(box);
}

document.addEventListener("submit", (event) => {
  const box = event.target.closest?.("[data-job]");
  if (!box) return;
  event.preventDefault();
  event.submitter?.setAttribute("disabled", "");
  stop(box.dataset.job);
});

document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-job] [data-stop]");
  if (!button) return;
  button.disabled = true;
  stop(button.closest("[data-job]").dataset.job);
});

document.addEventListener("htmx:after:swap", () => watchAll());
watchAll();
