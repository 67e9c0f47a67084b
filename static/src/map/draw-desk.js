/** What one drawing holds: its features, the way back and forth, the text field, and what is said about it. */
import { sizeOf } from "./measure.js";
import { featuresIn, textOf } from "./shape-text.js";
import { Steps } from "./steps.js";

export class Desk {
  constructor(source, field, part) {
    this.source = source;
    this.field = field;
    this.size = part.querySelector("[data-draw-size]");
    this.says = part.querySelector("[data-map-says]");
    this.sketch = null; // the feature being drawn, not yet closed
  }

  features() {
    return this.source.getFeatures();
  }

  /** Begin the history with `features`. */
  load(features) {
    this.source.addFeatures(features);
    this.steps = new Steps(textOf(features));
    this.measure();
  }

  /** Go back (-1) or forward (+1) in the history, or say `otherwise` at its end. */
  step(direction, otherwise) {
    const text = this.steps.go(direction);
    if (text === null) this.say(otherwise);
    else this.put(featuresIn(text));
  }

  /** Show other features in place of all, and write the text field. */
  put(features) {
    this.source.clear();
    this.source.addFeatures(features);
    this.field.value = textOf(features);
    this.measure();
  }

  /** The same as a step that can be undone. */
  replace(features, words) {
    this.put(features);
    this.keep(words);
  }

  /** Write the text field and remember the step. */
  keep(words) {
    this.field.value = textOf(this.features());
    this.steps.add(this.field.value);
    this.measure();
    this.say(`${words} ${this.size.textContent}`);
  }

  measure() {
    this.size.textContent = sizeOf([...this.features(), ...(this.sketch ? [this.sketch] : [])]);
  }

  say(words) {
    this.says.textContent = words;
  }
}
