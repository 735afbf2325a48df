// A photo dropped on the form, or taken with the phone's camera, is sent at once; one that was chosen waits for the button.

import { sending } from "./measure-send.js";

const form = document.getElementById("drop");
const field = form.elements.photo;
const camera = document.getElementById("f-camera");
const [open, take] = ["open-photo", "take"].map((id) => document.getElementById(id));

function wrong(sentence) {
  const told = document.getElementById("f-photo-wrong");
  told.hidden = !sentence;
  told.firstElementChild.textContent = sentence;
  if (sentence) field.setAttribute("aria-invalid", "true");
  else field.removeAttribute("aria-invalid");
}

sending({ form, field, box: document.getElementById("sending"), most: Number(form.dataset.most), wrong });

function send(files) {
  if (!files.length) return;
  const given = new DataTransfer();
  given.items.add(files[0]);
  field.files = given.files;
  camera.value = ""; // so that the same may be taken again
  form.requestSubmit();
}

function lead(button) {
  for (const one of [open, take]) one.classList.toggle("first", one === button);
}

// Only what is held in the hand takes photos; there it is what a hand is most likely to want.
if (matchMedia("(any-pointer: coarse)").matches) {
  take.hidden = false;
  take.parentElement.prepend(take);
  addEventListener("pageshow", () => lead(field.files.length ? open : take)); // on the way back a browser has the file still
}
take.addEventListener("click", () => camera.click());
camera.addEventListener("change", () => send(camera.files));
field.addEventListener("change", () => {
  wrong("");
  lead(open);
});

for (const name of ["dragenter", "dragover"]) {
  form.addEventListener(name, (event) => {
    event.preventDefault();
    form.dataset.over = "";
  });
}
form.addEventListener("dragleave", (event) => {
  if (!form.contains(event.relatedTarget)) delete form.dataset.over;
});
form.addEventListener("drop", (event) => {
  event.preventDefault();
  delete form.dataset.over;
  send(event.dataTransfer.files);
});
