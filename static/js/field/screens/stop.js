/** The drills: two taps from the first screen, with the place in the largest letters to read out on the phone. */
import { el, notice, way } from "../dom.js";
import { startFix } from "../fix.js";
import { reference } from "../gridref.js";
import { say } from "../tongue.js";

export const title = say("Stop");

/** The place, kept up to date; not read aloud at each fix, but there to go to. */
function here(pack) {
  const place = el("p", { class: "ref" }, say("Waiting for a position…"));
  const says = el("p", {});
  const fix = startFix(({ position, words }) => {
    if (!position) {
      says.textContent = words;
      return;
    }
    const { text, name, degrees, accuracy } = reference(position, pack?.grids ?? []);
    place.textContent = text;
    says.textContent = text === degrees ? `${say("Latitude, longitude.")} ${accuracy}` : `${name}. ${accuracy} ${say("Latitude, longitude: %(degrees)s.", { degrees })}`;
  });
  return [el("section", { "aria-label": say("Where you are") }, el("h2", {}, say("You are at")), place, says), () => fix.stop()];
}

const dial = (name, phone) => el("p", {}, el("a", { class: "button danger big", href: `tel:${phone.replace(/[^+\d]/g, "")}` }, name));

function one({ title: name, at_once: first, steps, dial: emergency, calls = [] }, named) {
  return el("section", {}, el("h2", {}, named ? name : say("Do this")),
    el("ol", {}, [first, ...steps].filter(Boolean).map((step) => el("li", {}, step))),
    emergency ? dial(say("Emergency: call %(number)s", { number: emergency }), emergency) : "",
    calls.map((call) => dial(say("Call %(name)s: %(phone)s", call), call.phone)));
}

export function show(root, { pack, args, drills, setTitle }) {
  const [kind, which] = args;
  const found = drills.filter((drill) => drill.kind === kind).filter((_, index) => which === undefined || String(index) === which);
  if (!found.length) {
    const nth = (drill) => drills.filter((each) => each.kind === drill.kind).indexOf(drill);
    root.append(
      kind ? notice("soon", say("There is no drill of its own for this. Stop, mark the spot, and tell the leader.")) : "",
      el("p", {}, say("Stop digging. What is it?")),
      el("nav", { class: "more", "aria-label": say("Drills") }, drills.map((drill) => way(drill.title, `#/stop/${drill.kind}/${nth(drill)}`, "big"))),
    );
    return undefined;
  }
  setTitle(found[0].title);
  const [place, stop] = here(pack);
  root.append(
    el("div", { class: "emergency" }, place, found.map((drill) => one(drill, found.length > 1))),
    pack ? way(say("Record it as an incident"), `#/incident/as/${kind}`) : "",
    el("p", { class: "muted" }, say("These are the usual steps. The law of the place and the people you call decide; nothing here says what a thing is.")),
  );
  return stop;
}
