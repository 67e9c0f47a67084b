/** Undo and redo: the texts a drawing went through, with a place among them. */
export class Steps {
  constructor(first) {
    this.texts = [first];
    this.at = 0;
  }

  /** Remember a new text; what had been undone before it is gone. */
  add(text) {
    if (text === this.texts[this.at]) return;
    this.texts.length = this.at + 1;
    this.texts.push(text);
    this.at += 1;
  }

  /** Step back (-1) or forward (+1); returns the text there, or null at the end. */
  go(direction) {
    const next = this.at + direction;
    if (next < 0 || next >= this.texts.length) return null;
    this.at = next;
    return this.texts[next];
  }
}
