// The film of a session: a range to scrub it with mouse, finger or arrow keys, and a strip of moments to tap. The moment is shown in the large picture.

const PLAY_MS = 220;
let playing = 0;

const parts = (film) => ({ range: film.querySelector("[type=range]"), says: film.querySelector(".film-says"), said: film.querySelectorAll("ol li") });
const large = () => document.querySelector("#yarn img");

function show(film, number) {
  const { range, says, said } = parts(film);
  const words = said[number]?.textContent ?? "";
  range.value = String(number);
  range.setAttribute("aria-valuetext", words);
  says.textContent = words;
  for (const one of film.querySelectorAll("[data-frame]")) one.classList.toggle("here", Number(one.dataset.frame) === number);
  const picture = large();
  if (!picture) return;
  picture.dataset.still ??= picture.getAttribute("src");
  const source = number === Number(range.max) ? picture.dataset.still : film.dataset.film + number;
  film.dataset.wanted = source;
  const ready = new Image();
  ready.src = source;
  ready.decode().then(() => { if (film.dataset.wanted === source) picture.setAttribute("src", source); }).catch(() => {});
}

function stop(film) {
  clearInterval(playing);
  playing = 0;
  const button = film?.querySelector("[data-play]");
  if (button) button.textContent = "Play";
}

document.addEventListener("input", (event) => {
  const film = event.target.matches?.(".film [type=range]") && event.target.closest(".film");
  if (!film) return;
  event.stopPropagation();
  stop(film);
  show(film, Number(event.target.value));
}, true);

document.addEventListener("click", (event) => {
  const film = event.target.closest?.(".film");
  if (!film) return;
  const moment = event.target.closest("[data-frame]");
  if (moment) {
    stop(film);
    return void show(film, Number(moment.dataset.frame));
  }
  const button = event.target.closest("[data-play]");
  if (!button) return;
  if (playing) return void stop(film);
  const { range } = parts(film);
  let at = Number(range.value) === Number(range.max) ? -1 : Number(range.value);
  button.textContent = "Pause";
  playing = setInterval(() => {
    if (!film.isConnected) return void stop(film);
    at += 1;
    show(film, at);
    if (at >= Number(range.max)) stop(film);
  }, PLAY_MS);
});
