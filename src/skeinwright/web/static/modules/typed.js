// What was typed into a form and not sent is there again on the way back and after a reload. It stays in this tab.

const HERE = `typed ${location.pathname}${location.search}`;
const EACH_TIME_ANOTHER = new Set(["csrf_token", "key", "seen", "keep"]);
const sent = new Set();

/** Whether a field says something else than the page came with. Fields that scripts made for themselves have no name. */
export function isChanged(field) {
  if (!field.name) return false;
  if (field instanceof HTMLSelectElement) {
    const came = [...field.options].filter((one) => one.defaultSelected);
    return came.length ? came.some((one) => !one.selected) : !field.multiple && field.selectedIndex > 0;
  }
  if (field.type === "radio") return field.checked && !field.defaultChecked;
  if (field.type === "checkbox") return field.checked !== field.defaultChecked;
  if (field.type === "range") return Number(field.value) !== Number(field.defaultValue); // "1.0" comes to stand as 1
  return field.type !== "hidden" && field.type !== "file" && field.value !== field.defaultValue;
}

/** The forms of this page. The editor of a colourway is not among them: it asks before one leaves. */
function forms() {
  return [...document.querySelectorAll("main form:not([data-steps])")].map((form) => ({ form, fields: [...form.elements].filter((one) => one.matches("input, select, textarea")) }));
}

/** What tells a form from another, and from itself about another thing: where it goes, and all that stood in it when it came. */
function nameOf({ form, fields }) {
  const came = (one) => (one instanceof HTMLSelectElement ? [...one.options].map((option) => `${option.value}${option.defaultSelected ? "*" : ""}`).join() : `${one.defaultValue}${one.defaultChecked ? "*" : ""}`);
  return JSON.stringify([form.method, form.getAttribute("action"), fields.filter((one) => !EACH_TIME_ANOTHER.has(one.name)).map((one) => [one.name, came(one)])]);
}

function put() {
  const typed = forms()
    .map((one) => ({ form: nameOf(one), sent: sent.has(one.form), values: one.fields.flatMap((field, place) => (isChanged(field) ? [[place, field.type === "checkbox" ? field.checked : field.value]] : [])) }))
    .filter((one) => one.values.length);
  try {
    if (typed.length) sessionStorage.setItem(HERE, JSON.stringify(typed));
    else sessionStorage.removeItem(HERE);
  } catch {
    // No room, or not allowed: the page is then as the browser itself brings it back.
  }
}

function kept() {
  try {
    return JSON.parse(sessionStorage.getItem(HERE)) ?? [];
  } catch {
    return [];
  }
}

/** Puts back what was typed, where nothing has been typed since. */
function putBack() {
  const here = forms();
  for (const one of kept()) {
    const found = here.find((form) => nameOf(form) === one.form);
    if (!found) continue;
    here.splice(here.indexOf(found), 1);
    for (const [place, value] of one.values) {
      const field = found.fields[place];
      if (isChanged(field)) continue;
      if (field.type === "checkbox") field.checked = value;
      else if (field.type === "radio") field.checked = true;
      else field.value = value;
      const fold = field.closest("details:not([open])");
      if (fold) fold.open = true;
    }
  }
}

/** What was written down is answered by sending the browser on to another page; a form that comes back with what was wrong is not, and neither is a page that never came. */
function forgetSent() {
  for (const key of Object.keys(sessionStorage).filter((one) => one.startsWith("typed "))) {
    const left = JSON.parse(sessionStorage.getItem(key)).filter((one) => !one.sent);
    if (left.length) sessionStorage.setItem(key, JSON.stringify(left));
    else sessionStorage.removeItem(key);
  }
}

/** Before what was typed early is heard: what was typed before is put back, or forgotten where it was sent. */
export function remember() {
  document.addEventListener("submit", (event) => {
    if (!event.defaultPrevented && event.target.method === "post") sent.add(event.target);
  });
  addEventListener("pageshow", () => sent.clear());
  addEventListener("pagehide", put);
  document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && put());
  const [way] = performance.getEntriesByType("navigation");
  try {
    if (way?.type === "back_forward" || way?.type === "reload") putBack();
    else if (way?.redirectCount) forgetSent();
  } catch {
    // Storage is not allowed here.
  }
}
