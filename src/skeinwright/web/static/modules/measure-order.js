// Swatches tapped in the picture, from pale to deep: their rows in the ladder's form come into that order. A second tap takes one out again.

export function order(svg) {
  const list = document.querySelector(".depth-list");
  const pieces = [...svg.querySelectorAll(".piece")];
  if (!list || pieces.length < 2) return;
  const kept = list.closest("form").elements.order;
  const taken = kept.value.split(",").filter((key) => pieces.some((one) => one.dataset.piece === key));
  const rows = new Map([...list.children].map((row) => [row.dataset.piece, row]));
  const areas = new Map(pieces.map((one) => [one.dataset.piece, one.querySelector(".fig").textContent]));
  document.getElementById("ladder-says").textContent =
    "Tap the swatches in the picture, from pale to deep; then type their depths. One whose depth stays empty is not kept.";

  function show() {
    for (const piece of pieces) {
      const key = piece.dataset.piece, turn = taken.indexOf(key) + 1;
      piece.toggleAttribute("data-taken", turn > 0);
      piece.setAttribute("aria-pressed", String(turn > 0));
      piece.querySelector(".fig").textContent = turn ? `swatch ${turn}` : areas.get(key);
      const words = rows.get(key).querySelector(".turn");
      words.hidden = !turn;
      words.textContent = turn ? `swatch ${turn}` : "";
    }
    kept.value = taken.join(",");
    document.getElementById("to-ladder").hidden = !taken.length;
    const rest = [...rows.keys()].filter((key) => !taken.includes(key)).sort((a, b) => a - b);
    list.append(...[...taken, ...rest].map((key) => rows.get(key)));
  }

  function tap(piece) {
    if (svg.hasAttribute("data-drawing")) return;
    const key = piece.dataset.piece, at = taken.indexOf(key);
    if (at < 0) taken.push(key);
    else taken.splice(at, 1);
    show();
  }

  for (const piece of pieces) {
    piece.setAttribute("role", "button");
    piece.setAttribute("tabindex", "0");
    piece.setAttribute("aria-label", `Piece ${piece.dataset.piece}, to be a swatch of the ladder`);
    piece.addEventListener("click", () => tap(piece));
    piece.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      tap(piece);
    });
  }
  show();
}
