// The knitted page: while new strips are drawn, the old ones stay, greyed by a rule above them; the chosen strip keeps the focus after the swap.

let held = "";

document.addEventListener("change", (event) => {
  const field = event.target;
  if (field instanceof HTMLElement && field.closest("#knitted, #plan")) held = field.id;
  document.querySelector("#knitted, #plan")?.setAttribute("aria-busy", "true");
});

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
