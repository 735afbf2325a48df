// A photo dropped on the form, or taken with the phone's camera, is sent at once; one that was chosen waits for the button.

const form = document.getElementById("drop");
const field = form.elements.photo;
const says = document.getElementById("drop-says");
const take = document.getElementById("take");
const camera = document.getElementById("f-camera");

function send(files) {
  if (!files.length) return;
  const given = new DataTransfer();
  given.items.add(files[0]);
  field.files = given.files;
  form.requestSubmit();
}

form.addEventListener("submit", () => {
  if (field.files.length) says.textContent = `Opening ${field.files[0].name} ...`;
});

take.hidden = false;
take.addEventListener("click", () => camera.click());
camera.addEventListener("change", () => send(camera.files));

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
