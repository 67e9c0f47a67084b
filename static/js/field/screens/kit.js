/** Own machines with their last set-up, and own bench readings, to compare a signal with. */
import { el, notice } from "../dom.js";

export const title = "My kit and bench";

function table(caption, rows) {
  const names = [...new Set(rows.flatMap((row) => Object.keys(row)))];
  const cell = (row, name) => el("td", { "data-label": said(name) }, String(row[name] ?? ""));
  return el("table", { class: "stack" }, el("caption", {}, caption),
    el("thead", {}, el("tr", {}, names.map((name) => el("th", { scope: "col" }, said(name))))),
    el("tbody", {}, rows.map((row) => el("tr", {}, names.map((name) => cell(row, name))))));
}

const said = (name) => (name.charAt(0).toUpperCase() + name.slice(1)).replaceAll("_", " ");

function machine({ name, last }) {
  const facts = Object.entries(last ?? {}).filter(([, value]) => value !== null && value !== "");
  return el("section", {}, el("h2", {}, name),
    facts.length ? el("dl", { class: "facts" }, facts.flatMap(([key, value]) => [el("dt", {}, said(key)), el("dd", {}, String(value))])) : el("p", {}, "No set-up logged yet."));
}

export function show(root, { pack }) {
  if (pack.thin) return void root.append(notice("soon", "Sign in and load the hunt again: your kit was taken off this phone."));
  root.append(...(pack.kits.length ? pack.kits.map(machine) : [el("p", {}, "You have no kit in the club's book.")]));
  const bench = pack.bench.map((row) => (Array.isArray(row) ? Object.fromEntries(row.map((value, index) => [String(index + 1), value])) : row));
  root.append(bench.length ? table("My bench readings", bench) : el("p", {}, "You have no bench readings yet."));
  return undefined;
}
