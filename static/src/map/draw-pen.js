/** The pen over a desk: drawing corner after corner, closing the shape, then moving corners. */
import { Desk } from "./draw-desk.js";
import { say } from "../../js/field/tongue.js";

const LEAST = { Polygon: 3, LineString: 2, Point: 1 };

export class Pen extends Desk {
  constructor({ source, draw, modify, type }, field, part) {
    super(source, field, part);
    Object.assign(this, { draw, modify, least: LEAST[type] });
    this.drawButton = part.querySelector("[data-draw-do=draw]");
    draw.on("drawstart", (event) => {
      this.sketch = event.feature;
      this.sketch.getGeometry().on("change", () => this.measure());
    });
    // Later, not now: the end of a drawing may be a double click, which must not reach the map as a zoom.
    draw.on("drawend", () => {
      this.ended = true;
      setTimeout(() => this.settle());
    });
    draw.on("drawabort", () => (this.sketch = null));
    modify.on("modifyend", () => this.keep(say("Moved.")));
  }

  load(features) {
    super.load(features);
    this.setDrawing(!features.length);
  }

  put(features) {
    this.draw.abortDrawing();
    super.put(features);
    this.setDrawing(!features.length);
  }

  setDrawing(on) {
    this.draw.setActive(on);
    this.modify.setActive(!on);
    this.drawButton.setAttribute("aria-pressed", String(on));
  }

  /** Change between drawing and moving corners. */
  turn() {
    this.setDrawing(!this.draw.getActive());
    this.say(this.draw.getActive() ? say("Tap the corners one after another; tap the first one again to close.") : say("Drag a corner to move it."));
  }

  addCorner(place) {
    this.setDrawing(true);
    this.draw.appendCoordinates([place]);
    this.say(say("Corner set at the cross."));
  }

  /** Close the sketch; one of too few corners stays open. */
  finish() {
    const corners = this.sketch?.getGeometry().getCoordinates().flat(this.least === 3 ? 1 : 0) ?? [];
    if (new Set(corners.map(String)).size < this.least) return this.say(say("Set at least %(count)s corners first.", { count: this.least }));
    this.draw.finishDrawing();
    return this.settle();
  }

  /** A sketch is closed: keep it and go on to moving corners. */
  settle() {
    if (!this.ended) return;
    this.ended = false;
    this.sketch = null;
    this.setDrawing(false);
    this.keep(say("Shape closed. Drag a corner to move it."));
  }

  stop() {
    this.draw.abortDrawing();
    this.measure();
  }

  undo() {
    if (this.sketch) this.draw.removeLastPoint();
    else this.step(-1, say("There is nothing to undo."));
  }

  redo() {
    this.step(+1, say("There is nothing to do again."));
  }
}
