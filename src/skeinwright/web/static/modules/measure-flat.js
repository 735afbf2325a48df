// The photo flattens before the eyes: the picture as taken is bent, by its four corners, until the sheet fills the frame.

const LONG_MS = 1100;
const calm = () => matchMedia("(prefers-reduced-motion: reduce)").matches;

/** The eight numbers of the projective map from four points to four points, by elimination. */
export function projective(from, to) {
  const rows = from.flatMap(([x, y], i) => {
    const [u, v] = to[i];
    return [[x, y, 1, 0, 0, 0, -u * x, -u * y, u], [0, 0, 0, x, y, 1, -v * x, -v * y, v]];
  });
  for (let column = 0; column < 8; column++) {
    let best = column;
    for (let row = column; row < 8; row++) if (Math.abs(rows[row][column]) > Math.abs(rows[best][column])) best = row;
    [rows[column], rows[best]] = [rows[best], rows[column]];
    for (let row = 0; row < 8; row++) {
      if (row === column) continue;
      const by = rows[row][column] / rows[column][column];
      for (let at = column; at < 9; at++) rows[row][at] -= by * rows[column][at];
    }
  }
  return rows.map((row, i) => row[8] / row[i]);
}

export function flattening(figure) {
  const frame = figure.querySelector(".flat-in");
  const flat = figure.querySelector(".flat-img");
  const corners = figure.dataset.corners.split(" ").map((one) => one.split(",").map(Number));
  let native = null, at = 1, running = 0;

  async function taken() {
    if (native) return;
    const made = new Image();
    made.className = "native";
    made.alt = "";
    made.src = `${figure.dataset.photo}?small=yes`;
    await made.decode();
    frame.insertBefore(made, frame.querySelector(".over"));
    native = made;
  }

  function place(share) {
    const w = frame.clientWidth, h = frame.clientHeight, nw = native.naturalWidth, nh = native.naturalHeight;
    const fit = Math.min(w / nw, h / nh), left = (w - fit * nw) / 2, top = (h - fit * nh) / 2;
    const there = [[0, 0], [w, 0], [w, h], [0, h]];
    const px = corners.map(([x, y]) => [x * nw, y * nh]);
    const quad = px.map(([x, y], i) => {
      const from = [left + fit * x, top + fit * y];
      return [0, 1].map((axis) => from[axis] + share * (there[i][axis] - from[axis]));
    });
    const m = projective(px, quad);
    native.style.transform = `matrix3d(${m[0]},${m[3]},0,${m[6]},${m[1]},${m[4]},0,${m[7]},0,0,1,0,${m[2]},${m[5]},0,1)`;
  }

  /** Moves to `share`: 0 as taken, 1 flat. */
  async function go(share) {
    await taken();
    if (!flat.complete) await flat.decode().catch(() => {});
    const turn = ++running, start = performance.now(), from = at, long = calm() ? 0 : LONG_MS;
    figure.dataset.state = "moving";
    await new Promise((done) => {
      function step(now) {
        if (turn !== running) return done();
        const t = long ? Math.min(1, Math.max(0, now - start) / long) : 1;
        at = from + (share - from) * (t * t * (3 - 2 * t));
        place(at);
        if (t < 1) requestAnimationFrame(step);
        else done();
      }
      requestAnimationFrame(step);
    });
    if (turn === running) figure.dataset.state = share === 1 ? "flat" : "taken";
  }

  new ResizeObserver(() => { if (native && figure.dataset.state === "taken") place(0); }).observe(frame);
  return { go, fromTaken: () => { at = 0; return go(1); } };
}
