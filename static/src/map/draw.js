/** data-map="draw": draw a shape with finger, mouse or keys; the text field named by data-target carries it to the server. */
import { nearestCorner, removeCorner } from "./corners.js";
import { Desk } from "./draw-desk.js";
import { layGround, lookAt } from "./ground.js";
import { drawLegend } from "./legend.js";
import { pageFeatures } from "./read.js";
import { featuresIn } from "./shape-text.js";
import { addSketch } from "./sketch.js";

const KEYS = { Enter: "corner", Backspace: "undo", Escape: "stop", Delete: "delete" };

function addCross(element) {
  const cross = element.appendChild(document.createElement("span"));
  cross.className = "cross";
  cross.setAttribute("aria-hidden", "true");
}

/** What each button (data-draw-do) does, given the desk it works on and the map. */
function deedsOf(desk, map) {
  const centre = () => map.getView().getCenter();
  return {
    draw: () => desk.begin(),
    corner: () => desk.addCorner(centre()),
    finish: () => desk.finish(),
    undo: () => desk.undo(),
    redo: () => desk.redo(),
    stop: () => desk.stop(),
    clear: () => desk.replace([], "Cleared. Undo brings it back."),
    delete: () => {
      const corner = nearestCorner(desk.features(), centre());
      if (!corner) desk.say("There is no corner to remove yet.");
      else if (removeCorner(corner)) desk.keep("Corner removed.");
      else desk.say("A shape needs its last three corners. Clear it to begin again.");
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
  const desk = new Desk(sketch, field, part);
  addCross(element);
  listen(part, element, deedsOf(desk, map));
  drawLegend(part.querySelector("[data-map-legend]"), neighbours.getFeatures());

  const given = featuresIn(field.value) ?? [];
  desk.load(given);
  lookAt(map, (given.length ? sketch.source : neighbours).getExtent());
  field.addEventListener("change", () => {
    const pasted = featuresIn(field.value);
    if (!pasted) return desk.say("The text is not GeoJSON. It is read when you save, for example as grid references.");
    desk.replace(pasted, "Taken over from the text.");
    return lookAt(map, sketch.source.getExtent());
  });
  part.querySelector("[data-draw-tools]").hidden = false;
  element.dataset.ready = "yes";
}
