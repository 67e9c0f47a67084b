/** The first screen: four things to do, what waits, and the way to the drills. */
import { button, el, notice, status, way } from "../dom.js";
import { age, current, openHoles } from "../pack.js";
import * as records from "../records.js";
import { HUNTS } from "../says.js";
import { news, session, waitingForOthers } from "../session.js";
import { say, sayMany } from "../tongue.js";
import * as walk from "../walk.js";

export const title = say("Field page");

const GATE = { open: say("gate open"), ask: say("gate ask first"), shut: say("gate shut") };

function hunt(pack) {
  const { code, state } = pack.hunt;
  const answer = pack.gate?.answer;
  const gate = GATE[answer] ? status(answer, GATE[answer]) : status("plain", say("gate not known on this phone"));
  return el("div", { class: "page-head" },
    el("p", {}, el("strong", { class: "ref" }, code), state ? ` · ${HUNTS[state] ?? state}` : "", " · ", gate),
    el("p", { class: "muted" }, `${say("Stored %(age)s.", { age: age(pack) })} `, el("a", { href: "#/hunt" }, say("The hunt, gate and people"))));
}

/** Switch the track on and off; what it has so far is told without being read aloud each time. */
function track(pack) {
  const flip = button(walk.isOn() ? say("Stop the track") : say("Record my track"), () => walk.toggle(pack), "quiet big");
  return el("div", { class: "track" }, flip, el("p", { class: "muted", "data-track": "" }, walk.said()));
}

function out() {
  if (session.stop !== "out" && session.stop !== "other") return "";
  return notice("late", session.why || say("You are signed out."), el("p", {}, el("a", { class: "button", href: session.signIn }, say("Sign in to send"))));
}

const NONE = [
  say("No hunt is stored on this phone. Open this page where there is signal, on the day of a hunt on which you hold a place."),
  say("The stop drills work all the same."),
];

export async function show(root, { load }) {
  const draw = async () => {
    const pack = await current(); // signing out thins it while this is shown
    const rows = await records.all();
    const others = waitingForOthers();
    const open = pack ? openHoles(pack, rows).length : 0;
    const four = [[say("Hole"), "#/hole"], [say("Find"), "#/find"], [say("Ground reading"), "#/reading"], [say("Incident"), "#/incident"]];
    const more = [
      [open ? say("My holes not filled: %(count)s", { count: open }) : say("My holes not filled"), "#/holes"],
      [say("Correct the last entry"), "#/last"],
      [say("Where I am"), "#/where"],
      [say("My kit and bench"), "#/kit"],
      [say("Sign out of the hunt"), "#/out"],
    ];
    root.replaceChildren(
      pack ? hunt(pack) : notice("soon", ...NONE, el("p", {}, el("a", { href: "#/hunt" }, say("Ask for today's hunt")))),
      out(),
      pack?.thin ? notice("soon", say("You are signed out: the land, lanes and people were taken off this phone. You can go on recording.")) : "",
      pack ? el("nav", { class: "four", "aria-label": say("What to record") }, four.map(([words, hash]) => way(words, hash, "big"))) : "",
      way(say("Stop: bones, ordnance, deposit"), "#/stop", "danger big"),
      pack ? el("nav", { class: "more", "aria-label": say("More") }, more.map(([words, hash]) => way(words, hash))) : "",
      pack ? track(pack) : "",
      others ? el("p", {}, sayMany("%(count)s record of somebody else on this phone: they wait until that person signs in here.", "%(count)s records of somebody else on this phone: they wait until that person signs in here.", others)) : "",
      el("p", { class: "muted" }, `${sayMany("%(count)s record of yours on this phone.", "%(count)s records of yours on this phone.", rows.length)} `, el("a", { href: "#/queue" }, say("See them all"))),
      navigator.onLine ? el("p", {}, el("a", { href: "/help/field/" }, say("Help with this page"))) : "", // a page of the site, not of the phone
    );
  };
  await draw();
  const told = () => root.querySelector("[data-track]")?.replaceChildren(walk.said());
  news.addEventListener("walk", told);
  const rest = load(draw);
  return () => (rest(), news.removeEventListener("walk", told));
}
