/** The first screen: four things to do, what waits, and the way to the drills. */
import { button, count, el, notice, status, way } from "../dom.js";
import { age, current, openHoles } from "../pack.js";
import * as records from "../records.js";
import { news, session, waitingForOthers } from "../session.js";
import * as walk from "../walk.js";

export const title = "Field page";

const GATE = { open: ["open", "open"], ask: ["ask", "ask first"], shut: ["shut", "shut"] };

function hunt(pack) {
  const { code, state } = pack.hunt;
  const [kind, words] = GATE[pack.gate?.answer] ?? ["plain", "not known on this phone"];
  return el("div", { class: "page-head" },
    el("p", {}, el("strong", { class: "ref" }, code), state ? ` · ${state}` : "", " · ", status(kind, `gate ${words}`)),
    el("p", { class: "muted" }, `Stored ${age(pack)}. `, el("a", { href: "#/hunt" }, "The hunt, gate and people")));
}

/** Switch the track on and off; what it has so far is told without being read aloud each time. */
function track(pack) {
  const flip = button(walk.isOn() ? "Stop the track" : "Record my track", () => walk.toggle(pack), "quiet big");
  return el("div", { class: "track" }, flip, el("p", { class: "muted", "data-track": "" }, walk.said()));
}

function out() {
  if (session.stop !== "out" && session.stop !== "other") return "";
  return notice("late", session.why || "You are signed out.", el("p", {}, el("a", { class: "button", href: session.signIn }, "Sign in to send")));
}

const NONE = [
  "No hunt is stored on this phone. Open this page where there is signal, on the day of a hunt on which you hold a place.",
  "The stop drills work all the same.",
];

export async function show(root, { load }) {
  const draw = async () => {
    const pack = await current(); // signing out thins it while this is shown
    const rows = await records.all();
    const others = waitingForOthers();
    const open = pack ? openHoles(pack, rows).length : 0;
    const four = [["Hole", "#/hole"], ["Find", "#/find"], ["Ground reading", "#/reading"], ["Incident", "#/incident"]];
    const more = [
      [open ? `My holes not filled: ${open}` : "My holes not filled", "#/holes"],
      ["Correct the last entry", "#/last"],
      ["Where I am", "#/where"],
      ["My kit and bench", "#/kit"],
      ["Sign out of the hunt", "#/out"],
    ];
    root.replaceChildren(
      pack ? hunt(pack) : notice("soon", ...NONE, el("p", {}, el("a", { href: "#/hunt" }, "Ask for today's hunt"))),
      out(),
      pack?.thin ? notice("soon", "You are signed out: the land, lanes and people were taken off this phone. You can go on recording.") : "",
      pack ? el("nav", { class: "four", "aria-label": "Record" }, four.map(([words, hash]) => way(words, hash, "big"))) : "",
      way("Stop: bones, ordnance, deposit", "#/stop", "danger big"),
      pack ? el("nav", { class: "more", "aria-label": "More" }, more.map(([words, hash]) => way(words, hash))) : "",
      pack ? track(pack) : "",
      others ? el("p", {}, `${count(others, "record")} of somebody else on this phone: they wait until that person signs in here.`) : "",
      el("p", { class: "muted" }, `${count(rows.length, "record")} of yours on this phone. `, el("a", { href: "#/queue" }, "See them all")),
      navigator.onLine ? el("p", {}, el("a", { href: "/help/field/" }, "Help with this page")) : "", // a page of the site, not of the phone
    );
  };
  await draw();
  const told = () => root.querySelector("[data-track]")?.replaceChildren(walk.said());
  news.addEventListener("walk", told);
  const rest = load(draw);
  return () => (rest(), news.removeEventListener("walk", told));
}
