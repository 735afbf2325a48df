// A photo on its way to the studio: how much of it is there, and a way to stop it. Without this script the form sends itself.

import { shown } from "./job.js";

const MB = 1e6;

/** The sentence of an answer that is not the way on: the page itself, with what is wrong beside the field, or an error's own page. */
function sentenceOf(html) {
  const page = new DOMParser().parseFromString(html, "text/html");
  const said = page.querySelector("#f-photo-wrong, .wrong") ?? page.querySelector("h1 + p") ?? page.querySelector("main p");
  return said?.textContent.trim() || "The studio did not take the photo. Reload the page and send it again.";
}

/**
 * Makes `form` send its photo (`field`) with a line that fills, in `box`. `wrong(sentence)` says what went wrong, "" for nothing;
 * `most` is how many bytes are taken.
 */
export function sending({ form, field, box, most, wrong }) {
  const acts = form.querySelector(".acts");
  const stop = box.querySelector("button");
  let request = null;

  const told = (fraction, sentence) => shown(box, { fraction, sentence });

  function over(sentence) {
    request = null;
    box.hidden = true;
    acts.hidden = false;
    wrong(sentence);
  }

  function answered() {
    const place = request.getResponseHeader("HX-Redirect");
    if (place) location.assign(place);
    else over(sentenceOf(request.responseText));
  }

  function send(file) {
    if (file.size > most) {
      return over(`The photo has ${(file.size / MB).toFixed(0)} MB; the studio takes up to ${(most / MB).toFixed(0)} MB at once. Export it smaller and choose it again.`);
    }
    wrong("");
    [box.hidden, acts.hidden] = [false, true];
    stop.focus();
    told(0, `Sending ${file.name}.`);
    request = new XMLHttpRequest();
    request.upload.addEventListener("progress", ({ loaded, total }) => {
      if (loaded < total) told(loaded / total, `Sending ${file.name}: ${(loaded / MB).toFixed(1)} of ${(total / MB).toFixed(1)} MB.`);
    });
    request.upload.addEventListener("load", () => told(1, "It is here. Opening it."));
    request.addEventListener("load", answered);
    request.addEventListener("error", () => over("The studio could not be reached, so the photo was not opened. It is still chosen here: open it again."));
    request.addEventListener("abort", () => over("Stopped. The photo is still chosen here."));
    request.open("POST", form.action);
    request.setRequestHeader("HX-Request", "true");
    request.send(new FormData(form));
  }

  form.addEventListener("submit", (event) => {
    if (!field.files.length) return;
    event.preventDefault();
    if (!request) send(field.files[0]);
  });
  stop.addEventListener("click", () => request?.abort());
  addEventListener("pageshow", ({ persisted }) => { if (persisted) over(""); });
}
