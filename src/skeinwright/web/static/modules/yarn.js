// The knitted page: while new strips are worked out the old ones stay, under a rule; the chosen strip keeps the focus after the swap,
// and a newly typed stitch count is the chosen one.

let held = "";

document.addEventListener("change", (event) => {
  const field = event.target;
  if (!(field instanceof HTMLElement) || !field.closest("#knit, #stripes, #reach")) return;
  if (field.closest("#knitted")) held = field.id;
  if (field.name === "stitches" || field.name === "piece") for (const one of document.querySelectorAll("#knitted [name=chosen]")) one.checked = false;
  document.querySelector("#knitted, #plan")?.setAttribute("aria-busy", "true");
}, true);

document.addEventListener("htmx:afterSwap", () => {
  if (held && (document.activeElement === document.body || !document.activeElement)) document.getElementById(held)?.focus({ preventScroll: true });
  held = "";
});

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
