// The pot's line follows a slider, a key or a tap at once: the line alone is asked for, one request at a time, the newest last. The colours, the bands and all
// that is said of the pot come after it, by colourway.js.

const editor = document.getElementById("editor");
const form = () => document.getElementById("colourway");
let asking = false;
let again = false;

function put(page, name) {
  const part = page.querySelector(`[data-part="${name}"]`);
  const target = document.getElementById(name);
  if (part && target && target.innerHTML.trim() !== part.innerHTML.trim()) target.replaceChildren(...part.childNodes);
}

async function line() {
  if (asking) {
    again = true;
    return;
  }
  asking = true;
  try {
    const body = new FormData(form());
    const headers = { "X-CSRF-Token": body.get("csrf_token"), "HX-Request-Type": "partial" };
    const answer = await fetch(form().dataset.potLine, { method: "POST", body, headers });
    if (answer.ok && !again) {
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      put(page, "pot-chart");
      put(page, "pot-told");
    }
  } catch {
    // The whole answer that follows says what is wrong.
  }
  asking = false;
  if (again) {
    again = false;
    line();
  }
}

/** Where a slider stands, in words, as the server says it too. */
function say(slider) {
  const value = Number(slider.value);
  const usual = Number(slider.dataset.usual);
  const words = value === usual ? "as planned" : usual === 0 ? `${Math.abs(value)} °C ${value > 0 ? "hotter" : "cooler"}` : `${value} times`;
  slider.setAttribute("aria-valuetext", words);
  document.getElementById(`${slider.id}-said`).textContent = words;
}

editor.addEventListener("input", (event) => {
  const name = event.target.name ?? "";
  if (name.startsWith("new.") || name === "bases" || name === "view") return;
  if (event.target.matches("[data-slider]")) say(event.target);
  line();
});

editor.addEventListener("click", (event) => {
  if (event.target.id !== "what-back") return;
  const sliders = [...form().querySelectorAll("[data-slider]")];
  for (const slider of sliders) {
    slider.value = slider.dataset.usual;
    say(slider);
  }
  sliders[0].dispatchEvent(new Event("input", { bubbles: true }));
});
