/** [data-sign-board]: draw a signature with finger, pen or mouse; the name typed is the signature all the same. */
const SIDE = 1000;

function board(root) {
  const canvas = root.querySelector("canvas");
  const field = root.closest("form").querySelector("[data-sign-strokes]");
  const pen = canvas.getContext("2d");
  let strokes = [];
  let stroke = null;

  /** A place on the canvas as whole numbers from 0 to SIDE, across and down. */
  function place(event) {
    const box = canvas.getBoundingClientRect();
    const part = (value, length) => Math.round(Math.min(1, Math.max(0, value / length)) * SIDE);
    return [part(event.clientX - box.left, box.width), part(event.clientY - box.top, box.height)];
  }

  function redraw() {
    pen.clearRect(0, 0, canvas.width, canvas.height);
    pen.strokeStyle = getComputedStyle(canvas).color;
    pen.lineWidth = 5;
    pen.lineCap = pen.lineJoin = "round";
    for (const points of strokes) {
      pen.beginPath();
      for (const [x, y] of points) pen.lineTo((x / SIDE) * canvas.width, (y / SIDE) * canvas.height);
      pen.stroke();
    }
    field.value = strokes.length ? JSON.stringify(strokes) : "";
  }

  canvas.addEventListener("pointerdown", (event) => {
    stroke = [place(event)];
    strokes.push(stroke);
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!stroke) return;
    stroke.push(place(event));
    redraw();
  });
  for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, () => (stroke = null));
  root.querySelector("[data-sign-clear]").addEventListener("click", () => {
    strokes = [];
    redraw();
  });
  if (field.value) strokes = JSON.parse(field.value);
  root.hidden = false;
  redraw();
}

document.querySelectorAll("[data-sign-board]").forEach(board);
