/** The hunt: the gate's answer and when it was given, people, cautions; fetch it afresh; whose phone this is. */
import { button, clockTime, el, notice, status, way } from "../dom.js";
import * as pack_ from "../pack.js";
import * as records from "../records.js";
import { forgetMe, session } from "../session.js";
import * as store from "../store.js";

export const title = "The hunt";

function people({ leader, meeting, starts, finishes, depth_limit_cm: deep }) {
  const time = (text) => (text && text.includes("T") ? clockTime(text) : text);
  const facts = [
    ["Time", starts && `${time(starts)} to ${time(finishes)}`],
    ["Meeting", typeof meeting === "string" && meeting],
    ["Leader", leader?.name],
    ["Depth", deep && `not deeper than ${deep} cm`],
  ].filter(([, value]) => value);
  return [
    el("dl", { class: "facts" }, facts.flatMap(([name, value]) => [el("dt", {}, name), el("dd", {}, value)])),
    leader?.phone ? el("p", {}, el("a", { class: "button quiet big", href: `tel:${leader.phone.replace(/[^+\d]/g, "")}` }, `Call ${leader.name}: ${leader.phone}`)) : "",
  ];
}

function gate({ answer, words = [], at }) {
  return el("section", {}, el("h2", {}, "The gate"),
    el("p", {}, status(answer, `${answer} at ${clockTime(at)}, when it was asked`)),
    el("ul", {}, words.map((each) => el("li", {}, each))));
}

async function others(pack, go) {
  const packs = await pack_.all();
  if (packs.length < 2) return [];
  const use = ({ pk, hunt }) => button(`${hunt.code}${pk === pack?.pk ? " (in use)" : ""}`, async () => (await pack_.choose(pk), go("#/", `${hunt.code} is in use.`)), "quiet big");
  return [el("section", {}, el("h2", {}, "Which hunt"), packs.map(use))];
}

async function phone(go) {
  const waiting = (await records.all()).filter((row) => row.state !== "sent").length;
  const name = await store.setting("name", "");
  const kept = waiting ? `${waiting === 1 ? "One record is" : `${waiting} records are`} not sent: kept for you until you sign in here again.` : "";
  const leave = button("Take my things off this phone", async () => {
    await forgetMe();
    go("#/hunt", `Hunt, land and people were taken off this phone. ${kept}`);
  }, "quiet");
  return el("section", {}, el("h2", {}, "This phone"), el("p", {}, name ? `${name}'s. ` : "", kept), leave,
    el("p", { class: "muted" }, "This does not sign you out of the club's pages."));
}

export async function show(root, { pack, go, refresh }) {
  const says = el("p", { role: "status" });
  const fetchAgain = button("Fetch today's hunt again", async () => {
    says.textContent = "Asking…";
    go("#/hunt", await refresh());
  }, "big");
  const signedOut = session.stop === "out" || !store.account();
  root.append(
    ...(pack ? [el("h2", { class: "ref" }, pack.hunt.code), ...people(pack.hunt)] : [notice("soon", "No hunt is stored on this phone.")]),
    ...(pack?.gate ? [gate(pack.gate)] : []),
    ...(pack?.cautions ?? []).map((words) => notice("caution", words)),
    pack ? el("p", { class: "muted" }, `Stored ${pack_.age(pack)}; it goes by itself on ${new Date(pack.keep_until).toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" })}.`) : "",
    fetchAgain, says,
    signedOut ? way("Sign in", session.signIn || "/club/sign-in/?next=/field/", "big") : "",
    ...(await others(pack, go)),
    ...(store.account() ? [await phone(go)] : []),
  );
}
