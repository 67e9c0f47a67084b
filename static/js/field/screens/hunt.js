/** The hunt: the gate's answer and when it was given, people, cautions; fetch it afresh; whose phone this is. */
import { button, clockTime, el, notice, status, way } from "../dom.js";
import * as pack_ from "../pack.js";
import * as records from "../records.js";
import { forgetMe, session } from "../session.js";
import * as store from "../store.js";
import { LANGUAGE, say, sayMany } from "../tongue.js";

export const title = say("The hunt");

function people({ leader, meeting, starts, finishes, depth_limit_cm: deep }) {
  const time = (text) => (text && text.includes("T") ? clockTime(text) : text);
  const facts = [
    [say("Time"), starts && say("%(start)s to %(finish)s", { start: time(starts), finish: time(finishes) })],
    [say("Meeting"), typeof meeting === "string" && meeting],
    [say("Leader"), leader?.name],
    [say("Depth"), deep && say("not deeper than %(depth)s cm", { depth: deep })],
  ].filter(([, value]) => value);
  return [
    el("dl", { class: "facts" }, facts.flatMap(([name, value]) => [el("dt", {}, name), el("dd", {}, value)])),
    leader?.phone ? el("p", {}, el("a", { class: "button quiet big", href: `tel:${leader.phone.replace(/[^+\d]/g, "")}` }, say("Call %(name)s: %(phone)s", leader))) : "",
  ];
}

function gate({ answer, words = [], at }) {
  const time = clockTime(at);
  const said = {
    open: say("open at %(time)s, when it was asked", { time }),
    ask: say("ask first at %(time)s, when it was asked", { time }),
    shut: say("shut at %(time)s, when it was asked", { time }),
  };
  return el("section", {}, el("h2", {}, say("The gate")),
    el("p", {}, status(answer, said[answer] ?? answer)),
    el("ul", {}, words.map((each) => el("li", {}, each))));
}

async function others(pack, go) {
  const packs = await pack_.all();
  if (packs.length < 2) return [];
  const use = ({ pk, hunt }) => button(pk === pack?.pk ? say("%(hunt)s (in use)", { hunt: hunt.code }) : hunt.code, async () => (await pack_.choose(pk), go("#/", say("%(hunt)s is in use.", { hunt: hunt.code }))), "quiet big");
  return [el("section", {}, el("h2", {}, say("Which hunt")), packs.map(use))];
}

async function phone(go) {
  const waiting = (await records.all()).filter((row) => row.state !== "sent").length;
  const name = await store.setting("name", "");
  const kept = waiting
    ? sayMany("One record is not sent: kept for you until you sign in here again.", "%(count)s records are not sent: kept for you until you sign in here again.", waiting)
    : "";
  const leave = button(say("Take my things off this phone"), async () => {
    await forgetMe();
    go("#/hunt", `${say("Hunt, land and people were taken off this phone.")} ${kept}`);
  }, "quiet");
  return el("section", {}, el("h2", {}, say("This phone")), el("p", {}, name ? `${say("%(name)s's.", { name })} ` : "", kept), leave,
    el("p", { class: "muted" }, say("This does not sign you out of the club's pages.")));
}

export async function show(root, { pack, go, refresh }) {
  const says = el("p", { role: "status" });
  const fetchAgain = button(say("Fetch today's hunt again"), async () => {
    says.textContent = say("Asking…");
    go("#/hunt", await refresh());
  }, "big");
  const signedOut = session.stop === "out" || !store.account();
  root.append(
    ...(pack ? [el("h2", { class: "ref" }, pack.hunt.code), ...people(pack.hunt)] : [notice("soon", say("No hunt is stored on this phone."))]),
    ...(pack?.gate ? [gate(pack.gate)] : []),
    ...(pack?.cautions ?? []).map((words) => notice("caution", words)),
    pack ? el("p", { class: "muted" }, say("Stored %(age)s; it goes by itself on %(day)s.", { age: pack_.age(pack), day: new Date(pack.keep_until).toLocaleString(LANGUAGE, { dateStyle: "medium", timeStyle: "short" }) })) : "",
    fetchAgain, says,
    signedOut ? way(say("Sign in"), session.signIn || "/club/sign-in/?next=/field/", "big") : "",
    ...(await others(pack, go)),
    ...(store.account() ? [await phone(go)] : []),
  );
}
