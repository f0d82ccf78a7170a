// A signature drawn on the screen: strokes of points in a box of fixed size, sent as JSON.
// Without this script the box stays hidden, and the typed name is the signature.

const NEAR = 4; // points nearer to the last one than this say nothing new
const MOST_POINTS = 2500; // as register/rules/strokes.py has it
const MOST_STROKES = 60;
const INK = 7;

/** Where the pointer is, in the box's own units. */
function place(canvas, event) {
  const box = canvas.getBoundingClientRect();
  const x = ((event.clientX - box.left) / box.width) * canvas.width;
  const y = ((event.clientY - box.top) / box.height) * canvas.height;
  const within = (value, most) => Math.min(most, Math.max(0, Math.round(value)));
  return [within(x, canvas.width), within(y, canvas.height)];
}

function draw(canvas, strokes) {
  const pen = canvas.getContext("2d");
  pen.clearRect(0, 0, canvas.width, canvas.height);
  pen.lineWidth = INK;
  pen.lineCap = pen.lineJoin = "round";
  pen.strokeStyle = getComputedStyle(canvas).color;
  for (const stroke of strokes) {
    pen.beginPath();
    pen.moveTo(...stroke[0]);
    for (const point of stroke) pen.lineTo(...point);
    pen.stroke();
  }
}

function far([x, y], [beforeX, beforeY]) {
  return Math.hypot(x - beforeX, y - beforeY) >= NEAR;
}

/** Whether one more point fits into what is kept. */
function fits(strokes) {
  const points = strokes.reduce((sum, stroke) => sum + stroke.length, 0);
  return points < MOST_POINTS && strokes.length <= MOST_STROKES;
}

function listen(canvas, strokes, changed) {
  let stroke = null;
  canvas.addEventListener("pointerdown", (event) => {
    if (stroke || !fits(strokes) || strokes.length === MOST_STROKES) return;
    canvas.setPointerCapture(event.pointerId);
    stroke = [place(canvas, event)];
    strokes.push(stroke);
    changed();
    event.preventDefault();
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!stroke) return;
    const point = place(canvas, event);
    if (!far(point, stroke.at(-1)) || !fits(strokes)) return;
    stroke.push(point);
    changed();
  });
  for (const end of ["pointerup", "pointercancel"])
    canvas.addEventListener(end, () => (stroke = null));
}

/** What came back with a page that was refused; nothing where it cannot be read. */
function drawnBefore(text) {
  try {
    return JSON.parse(text || "[]");
  } catch {
    return [];
  }
}

function begin(root) {
  const canvas = root.querySelector("canvas");
  const kept = document.getElementById(root.dataset.sign);
  const strokes = drawnBefore(kept.value);
  const changed = () => {
    kept.value = strokes.length ? JSON.stringify(strokes) : "";
    draw(canvas, strokes);
  };
  listen(canvas, strokes, changed);
  root.querySelector("button").addEventListener("click", () => {
    strokes.length = 0;
    changed();
  });
  root.hidden = false;
  draw(canvas, strokes);
}

for (const root of document.querySelectorAll("[data-sign]")) begin(root);
