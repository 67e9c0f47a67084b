/** data-map="draw": draw a shape with finger, mouse or keys; the text field named by data-target carries it to the server. */
import { nearestCorner, removeCorner } from "./corners.js";
import { Pen } from "./draw-pen.js";
import { layGround, lookAt } from "./ground.js";
import { drawLegend } from "./legend.js";
import { pageFeatures } from "./read.js";
import { featuresIn } from "./shape-text.js";
import { addSketch } from "./sketch.js";
import { say } from "../../js/field/tongue.js";

const KEYS = { Enter: "corner", Backspace: "undo", Escape: "stop", Delete: "delete" };

function addCross(element) {
  const cross = element.appendChild(document.createElement("span"));
  cross.className = "cross";
  cross.setAttribute("aria-hidden", "true");
}

/** What each button (data-draw-do) does, given the pen it moves and the map. */
function deedsOf(pen, map) {
  const centre = () => map.getView().getCenter();
  return {
    draw: () => pen.turn(),
    corner: () => pen.addCorner(centre()),
    finish: () => pen.finish(),
    undo: () => pen.undo(),
    redo: () => pen.redo(),
    stop: () => pen.stop(),
    clear: () => pen.replace([], say("Cleared. Undo brings it back.")),
    delete: () => {
      const corner = nearestCorner(pen.features(), centre());
      if (!corner) pen.say(say("There is no corner to remove yet."));
      else if (removeCorner(corner)) pen.keep(say("Corner removed."));
      else pen.say(say("A shape needs its last three corners. Clear it to begin again."));
    },
  };
}

function listen(part, element, deeds) {
  part.addEventListener("click", (event) => deeds[event.target.closest("[data-draw-do]")?.dataset.drawDo]?.());
  element.addEventListener("keydown", (event) => {
    const deed = event.target === element && KEYS[event.key];
    if (!deed) return;
    event.preventDefault();
    deeds[deed]();
  });
}

/** Start a map to draw on in `element`. */
export function startDraw(element) {
  const part = element.closest(".map-part");
  const field = document.getElementById(element.dataset.target);
  const { map, source: neighbours } = layGround(element, pageFeatures(element));
  const sketch = addSketch(map, neighbours, element.dataset.shape ?? "Polygon");
  const pen = new Pen(sketch, field, part);
  addCross(element);
  listen(part, element, deedsOf(pen, map));
  drawLegend(part.querySelector("[data-map-legend]"), neighbours.getFeatures());

  const given = featuresIn(field.value) ?? [];
  pen.load(given);
  const here = neighbours.getFeatures().find((feature) => feature.get("here"))?.getGeometry();
  if (here && !given.length) lookAt(map, here.getExtent(), { maxZoom: 15 });
  else lookAt(map, (given.length ? sketch.source : neighbours).getExtent());
  // While it is typed or pasted, not on leaving the field: words that come then move the button that is being pressed.
  field.addEventListener("input", () => {
    const pasted = featuresIn(field.value);
    if (!pasted) return pen.say(say("Grid references are read when you save; the map shows them then."));
    pen.replace(pasted, say("Taken over from the text."));
    return lookAt(map, sketch.source.getExtent());
  });
  // A shape left open when the form is sent is closed for it, not lost.
  field.form?.addEventListener("submit", () => pen.sketch && pen.finish(), { capture: true });
  part.querySelector("[data-draw-tools]").hidden = false;
  element.dataset.ready = "yes";
}
