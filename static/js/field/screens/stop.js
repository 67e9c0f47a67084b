/** The drills: two taps from the first screen, with the place in the largest letters to read out on the phone. */
import { el, notice, way } from "../dom.js";
import { startFix } from "../fix.js";
import { reference } from "../gridref.js";

export const title = "Stop";

/** The place, kept up to date; read aloud only when the person asks for it by moving there. */
function here(pack) {
  const place = el("p", { class: "ref" }, "Waiting for a position…");
  const says = el("p", {});
  const fix = startFix(({ position, words }) => {
    if (!position) {
      says.textContent = words;
      return;
    }
    const { text, name, degrees, accuracy } = reference(position, pack?.grids ?? []);
    place.textContent = text;
    says.textContent = text === degrees ? `Latitude, longitude. ${accuracy}` : `${name}. ${accuracy} Latitude, longitude: ${degrees}.`;
  });
  return [el("section", { "aria-label": "Where you are" }, el("h2", {}, "You are at"), place, says), () => fix.stop()];
}

const calls = (rows) => rows.map(({ name, phone }) => el("p", {}, el("a", { class: "button danger big", href: `tel:${phone.replace(/[^+\d]/g, "")}` }, `Call ${name}: ${phone}`)));

export function show(root, { pack, args, drills, setTitle }) {
  const drill = drills.find(({ kind }) => kind === args[0]);
  if (!drill) {
    root.append(
      args[0] ? notice("soon", "There is no drill of its own for this. Stop, mark the spot, and tell the leader.") : "",
      el("p", {}, "Stop digging. What is it?"),
      el("nav", { class: "more", "aria-label": "Drills" }, drills.map(({ kind, title: words }) => way(words, `#/stop/${kind}`, "big"))),
    );
    return undefined;
  }
  setTitle(drill.title);
  const [place, stop] = here(pack);
  root.append(
    el("div", { class: "emergency" }, place,
      el("h2", {}, "Do this"),
      el("ol", {}, drill.steps.map((step) => el("li", {}, step))),
      calls((drill.calls ?? []).filter(({ phone }) => phone))),
    pack ? way("Record it as an incident", `#/incident/as/${drill.kind}`) : "",
    el("p", { class: "muted" }, "These are the usual steps. The law of the place and the people you call decide; nothing here says what a thing is."),
  );
  return stop;
}
