/** Own machines with their last set-up, and own bench readings, to compare a signal with. */
import { el, notice } from "../dom.js";
import { say } from "../tongue.js";

export const title = say("My kit and bench");

function table(caption, rows) {
  const names = [...new Set(rows.flatMap((row) => Object.keys(row)))];
  const cell = (row, name) => el("td", { "data-label": said(name) }, String(row[name] ?? ""));
  return el("table", { class: "stack" }, el("caption", {}, caption),
    el("thead", {}, el("tr", {}, names.map((name) => el("th", { scope: "col" }, said(name))))),
    el("tbody", {}, rows.map((row) => el("tr", {}, names.map((name) => cell(row, name))))));
}

/** What a machine and a bench reading tell, as the pack names it (field/pack_kit.py). */
const NAMES = {
  mode: say("Mode"), sensitivity: say("Sensitivity"), recovery_speed: say("Recovery speed"), discrimination: say("Discrimination"),
  threshold: say("Threshold"), ground: say("Ground"), in: say("In"), scale: say("Scale"), kit: say("Kit"), item: say("Item"),
  distance: say("Distance"), way_up: say("Way up"), readings: say("Readings"),
};
const said = (name) => NAMES[name] ?? name;

function machine({ name, last }) {
  const facts = Object.entries(last ?? {}).filter(([, value]) => value !== null && value !== "");
  return el("section", {}, el("h2", {}, name),
    facts.length ? el("dl", { class: "facts" }, facts.flatMap(([key, value]) => [el("dt", {}, said(key)), el("dd", {}, String(value))])) : el("p", {}, say("No set-up logged yet.")));
}

export function show(root, { pack }) {
  if (pack.thin) return void root.append(notice("soon", say("Sign in and load the hunt again: your kit was taken off this phone.")));
  root.append(...(pack.kits.length ? pack.kits.map(machine) : [el("p", {}, say("You have no kit in the club's book."))]));
  const bench = pack.bench.map((row) => (Array.isArray(row) ? Object.fromEntries(row.map((value, index) => [String(index + 1), value])) : row));
  root.append(bench.length ? table(say("My bench readings"), bench) : el("p", {}, say("You have no bench readings yet.")));
  return undefined;
}
