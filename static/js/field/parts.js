/** The parts of a form for a thumb: each is a node whose fields have names, read together by FormData. */
import { button, el } from "./dom.js";
import { say } from "./tongue.js";

/** One of a few, as large buttons that are radio buttons to everybody. `options`: [[value, label]]. */
export function taps(name, legend, options, { chosen = "", required = true } = {}) {
  const each = ([value, label]) =>
    el("label", {}, el("input", { type: "radio", name, value, required, checked: String(value) === String(chosen) }), ` ${label}`);
  return el("fieldset", { class: "field taps" }, el("legend", {}, legend), el("div", {}, options.map(each)));
}

/** One of many, in the phone's own list. */
export function list(name, label, options, { chosen = "", empty = "", required = false } = {}) {
  const rows = empty ? [["", empty], ...options] : options;
  const each = ([value, words]) => el("option", { value, selected: String(value) === String(chosen) }, words);
  return el("div", { class: "field" }, el("label", { for: `f-${name}` }, label), el("select", { id: `f-${name}`, name, required }, rows.map(each)));
}

/**
 * A number by steps, or typed. `start` is where an empty one begins; the number is said aloud when a button changes it.
 * @param {{unit?: string, value?: number|null, small?: number, big?: number, start?: number, min?: number, max?: number, grain?: number|"any", required?: boolean}} options
 */
export function stepper(name, label, { unit = "", value = null, small = 1, big = 5, start = 0, min = 0, max = 999, grain = 1, required = false } = {}) {
  const attributes = { id: `f-${name}`, name, type: "number", inputmode: min < 0 ? "text" : grain === 1 ? "numeric" : "decimal", min, max, step: grain, required };
  const field = el("input", { ...attributes, value: value ?? undefined });
  const said = el("output", { class: "visually-hidden", for: field.id });
  const step = (by) => {
    const next = field.value === "" ? start : Math.min(max, Math.max(min, Number(field.value) + by));
    field.value = next;
    said.textContent = `${label} ${next} ${unit}`;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  };
  const one = (by) => {
    const node = button(`${by < 0 ? "−" : "+"}${Math.abs(by)}`, () => step(by), "quiet");
    const values = { label, count: Math.abs(by) };
    node.setAttribute("aria-label", by < 0 ? say("%(label)s: %(count)s less", values) : say("%(label)s: %(count)s more", values));
    return node;
  };
  const named = el("label", { for: field.id }, unit ? `${label} (${unit})` : label);
  return el("div", { class: "field stepper" }, named, field, one(-big), one(-small), one(small), one(big), said);
}

export function words(name, label, { value = "", rows = 0, required = false, help = "", most = 2000 } = {}) {
  const common = { id: `f-${name}`, name, required, maxlength: most, "aria-describedby": help ? `h-${name}` : undefined };
  const field = rows ? el("textarea", { ...common, rows }, value) : el("input", { ...common, type: "text", value });
  return el("div", { class: "field" }, el("label", { for: field.id }, label), field, help && el("p", { class: "help", id: `h-${name}` }, help));
}

export function tick(name, label, checked = false) {
  return el("div", { class: "field tick" }, el("input", { type: "checkbox", id: `f-${name}`, name, value: "yes", checked }), el("label", { for: `f-${name}` }, label));
}

/** Photographs from the camera or the album. */
export function pictures(name, label, help = "") {
  const told = { "data-shows": name.replace("photo_", ""), "aria-describedby": help ? `h-${name}` : undefined };
  const field = el("input", { type: "file", id: `f-${name}`, name, accept: "image/*", multiple: true, ...told });
  return el("div", { class: "field" }, el("label", { for: field.id }, label), field, help && el("p", { class: "help", id: `h-${name}` }, help));
}

/** The files that were chosen, each with what it shows. */
export function chosenPictures(form) {
  const fields = [...form.querySelectorAll("input[type=file]")];
  return fields.flatMap((field) => [...field.files].map((file) => ({ file, shows: field.dataset.shows })));
}

/** A number from a form, or null where it was left empty. */
export const number = (data, name) => (data.get(name) ? Number(data.get(name)) : null);
