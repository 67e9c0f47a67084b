/** The state of one drawing: what is drawn, the way back, the text field, and what is said about it. */
import { sizeOf } from "./measure.js";
import { featuresIn, textOf } from "./shape-text.js";
import { Steps } from "./steps.js";

export class Desk {
  constructor({ source, draw, modify }, field, part) {
    Object.assign(this, { source, draw, modify, field });
    this.size = part.querySelector("[data-draw-size]");
    this.says = part.querySelector("[data-map-says]");
    this.drawButton = part.querySelector("[data-draw-do=draw]");
    draw.on("drawstart", (event) => {
      this.sketch = event.feature;
      this.sketch.getGeometry().on("change", () => this.measure());
    });
    draw.on("drawend", () => setTimeout(() => this.settle("Shape closed. Drag a corner to move it.")));
    draw.on("drawabort", () => (this.sketch = null));
    modify.on("modifyend", () => this.keep("Moved."));
  }

  features() {
    return this.source.getFeatures();
  }

  /** Show `features` as the beginning of the history; draw at once where there are none. */
  load(features) {
    this.source.addFeatures(features);
    this.steps = new Steps(textOf(features));
    this.setDrawing(!features.length);
    this.measure();
  }

  setDrawing(on) {
    this.draw.setActive(on);
    this.modify.setActive(!on);
    this.drawButton?.setAttribute("aria-pressed", String(on));
  }

  begin() {
    this.setDrawing(!this.draw.getActive());
    this.say(this.draw.getActive() ? "Tap the corners one after another; tap the first one again to close." : "Drag a corner to move it.");
  }

  addCorner(place) {
    this.setDrawing(true);
    this.draw.appendCoordinates([place]);
    this.say("Corner set at the cross.");
  }

  /** Close the sketch; an outline of fewer than three corners stays open. */
  finish() {
    const points = this.sketch?.getGeometry().getCoordinates().flat(1) ?? [];
    if (new Set(points.map(String)).size < 3) return this.say("Set at least three corners first.");
    return this.draw.finishDrawing();
  }

  /** A sketch is done: keep it and go on to moving corners. */
  settle(words) {
    this.sketch = null;
    this.setDrawing(false);
    this.keep(words);
  }

  stop() {
    this.draw.abortDrawing();
    this.measure();
  }

  undo() {
    if (this.sketch) this.draw.removeLastPoint();
    else this.show(this.steps.go(-1), "There is nothing to undo.");
  }

  redo() {
    this.show(this.steps.go(+1), "There is nothing to do again.");
  }

  show(text, otherwise) {
    if (text === null) return this.say(otherwise);
    return this.replace(featuresIn(text), "", { keep: false });
  }

  /** Put other features in place of all. */
  replace(features, words, { keep = true } = {}) {
    this.draw.abortDrawing();
    this.source.clear();
    this.source.addFeatures(features);
    this.setDrawing(!features.length);
    if (keep) return this.keep(words);
    this.field.value = textOf(features);
    return this.measure();
  }

  /** Write the text field and remember the step. */
  keep(words) {
    this.field.value = textOf(this.features());
    this.steps.add(this.field.value);
    this.measure();
    this.say(words);
  }

  measure() {
    if (this.size) this.size.textContent = sizeOf([...this.features(), ...(this.sketch ? [this.sketch] : [])]);
  }

  say(words) {
    if (this.says) this.says.textContent = words;
  }
}
