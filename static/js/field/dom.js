/** Elements without innerHTML: what somebody typed stays text. */
import { LANGUAGE } from "./tongue.js";

/** `el("p", {class: "muted", onclick}, "words", child)`: attributes, `on…` handlers, and children (falsy ones are left out). */
export function el(tag, props = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat(3).filter((each) => each || each === 0));
  return node;
}

/** A button that does something here; `kind` is a class of the house style. */
export function button(words, onclick, kind = "") {
  return el("button", { type: "button", class: kind || undefined, onclick }, words);
}

/** A link to another screen that looks like a button. */
export function way(words, hash, kind = "quiet big") {
  return el("a", { class: `button ${kind}`, href: hash }, words);
}

/** A status as the rest of the house shows it: a shape and a word. */
export function status(kind, words) {
  return el("span", { class: `status ${kind}` }, el("span", { class: "shape", "aria-hidden": "true" }), ` ${words}`);
}

/** A notice with words in it. */
export function notice(kind, ...children) {
  return el("div", { class: `notice ${kind}` }, ...children.map((each) => (typeof each === "string" ? el("p", {}, each) : each)));
}

/** Hours and minutes as this phone's zone has them. */
export function clockTime(iso) {
  return new Date(iso).toLocaleTimeString(LANGUAGE, { hour: "2-digit", minute: "2-digit" });
}
