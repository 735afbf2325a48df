// The knitted page: while new strips are worked out the old ones stay, under a rule; the strip that has the focus keeps it after the swap,
// and a newly typed stitch count is the chosen one.

let held = "";

document.addEventListener("change", (event) => {
  const field = event.target;
  if (!(field instanceof HTMLElement) || !field.closest("#knit, #stripes, #reach")) return;
  if (field.closest("#knitted")) held = field.id;
  if (field.name === "stitches" || field.name === "piece") for (const one of document.querySelectorAll("#knitted [name=chosen]")) one.checked = false;
  document.querySelector("#knitted, #plan")?.setAttribute("aria-busy", "true");
}, true);

// When the dye is laid the knitting is asked for as the form stands by then: a page that is loaded anew would lose what is being typed.
document.addEventListener("job-done", (event) => {
  if (!event.target.closest("#knitted")) return;
  event.preventDefault();
  document.getElementById("knit").requestSubmit();
});

document.addEventListener("htmx:before:swap", () => {
  const at = document.activeElement;
  if (at?.id && at.closest("#knitted")) held = at.id;
});

document.addEventListener("htmx:after:swap", () => {
  setBeside();
  if (held && (document.activeElement === document.body || !document.activeElement)) document.getElementById(held)?.focus({ preventScroll: true });
  held = "";
});

// What is wrong with a field comes in the part that is swapped, as a hidden sentence with the field's name; it is set beside its field, which lies outside.
function clearBeside() {
  for (const one of document.querySelectorAll("form [aria-describedby$='-wrong'], form [aria-invalid]")) {
    if (one.closest("#plan")) continue;
    document.getElementById(`${one.id}-wrong`)?.remove();
    one.removeAttribute("aria-invalid");
    one.removeAttribute("aria-describedby");
    one.closest(".field")?.removeAttribute("data-wrong");
  }
}

function setBeside() {
  clearBeside();
  for (const told of document.querySelectorAll("[data-of]")) {
    const field = document.querySelector(`form :is(input:not([type=hidden]), select)[name="${CSS.escape(told.dataset.of)}"]`);
    if (!field) {
      told.classList.add("wrong");
      told.hidden = false;
      continue;
    }
    const box = field.closest(".field"), band = field.closest(".band");
    const words = document.createElement("span"), line = document.createElement("p");
    words.textContent = (band ? `${band.querySelector("legend").textContent}: ` : "") + told.textContent;
    line.className = "wrong";
    line.id = `${field.id}-wrong`;
    line.append(words);
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-describedby", line.id);
    box.setAttribute("data-wrong", "");
    if (band) band.after(line);
    else box.append(line);
    const fold = field.closest("details");
    if (fold) fold.open = true;
  }
}

// Printing the winding sheet follows what is typed.
for (const link of document.querySelectorAll("a[data-with]")) {
  link.addEventListener("click", () => {
    const form = document.querySelector(link.dataset.with);
    if (form) link.href = `${link.pathname}?${new URLSearchParams(new FormData(form))}`;
  });
}

// What is typed in another form goes along.
for (const form of document.querySelectorAll("form[data-carry]")) {
  form.addEventListener("submit", () => {
    for (const old of form.querySelectorAll("[data-carried]")) old.remove();
    for (const [name, value] of new FormData(document.querySelector(form.dataset.carry))) {
      if (name === "csrf_token" || typeof value !== "string" || !value) continue;
      const field = document.createElement("input");
      Object.assign(field, { type: "hidden", name, value });
      field.dataset.carried = "yes";
      form.append(field);
    }
  });
}

// A picture that stands needs no words behind it; one that cannot be drawn says so.
document.addEventListener("load", (event) => event.target.closest?.(".drawn-slowly")?.removeAttribute("data-says"), true);
document.addEventListener("error", (event) => {
  const box = event.target.closest?.(".drawn-slowly");
  if (box) box.dataset.says = "It could not be drawn. Reload the page to try again.";
}, true);
for (const one of document.querySelectorAll(".drawn-slowly > img")) if (one.complete && one.naturalWidth) one.parentElement.removeAttribute("data-says");
