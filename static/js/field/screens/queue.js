/** What is on this phone: what waits, what needs attention and the way on, what was sent; and a file of it. */
import { button, clockTime, el, notice, status } from "../dom.js";
import { hand, unsent } from "../file.js";
import * as photos from "../photos.js";
import { send } from "../queue.js";
import * as records from "../records.js";
import { STATES, SHAPES, titleOf, isEditable } from "../says.js";
import { own } from "../api.js";
import { session, tell } from "../session.js";
import { say, sayMany } from "../tongue.js";

export const title = say("On this phone");

const isAddress = (text) => typeof text === "string" && text.startsWith("/");

function retry(store, row) {
  return button(say("Try again"), async () => {
    await records.retry(store, row.client_id);
    tell("saved");
  }, "quiet");
}

function line(row) {
  const bad = row.state === "parked" || row.state === "waiting";
  const ways = [
    isEditable(row) && el("a", { class: "button quiet", href: `#/${row.kind}/edit/${row.client_id}` }, say("Correct it")),
    bad && retry("records", row),
    bad && isAddress(row.way_on) && el("a", { class: "button quiet", href: own(row.way_on) }, say("Settle it on the club's page")),
    row.state === "sent" && isAddress(row.url) && el("a", { class: "button quiet", href: own(row.url) }, say("See it on the club's page")),
  ];
  return el("li", { class: "card" },
    el("p", {}, el("strong", {}, row.label ?? titleOf(row)), ` · ${clockTime(row.at)} · ${row.code}`),
    el("p", {}, status(SHAPES[row.state], STATES[row.state])),
    bad && row.why ? el("p", {}, row.why) : "",
    bad && row.way_on && !isAddress(row.way_on) ? el("p", {}, row.way_on) : "",
    el("p", { class: "actions" }, ways));
}

function picture(photo) {
  const part = photo.received && photo.received < photo.size ? `, ${say("%(share)s % sent", { share: Math.floor((100 * photo.received) / photo.size) })}` : "";
  return el("li", { class: "card" },
    el("p", {}, el("strong", {}, say("Photograph")), ` ${photo.name}, ${Math.ceil(photo.size / 1024)} kB${part}`),
    el("p", {}, status(SHAPES[photo.state], STATES[photo.state])),
    photo.why ? el("p", {}, photo.why) : "",
    el("p", { class: "actions" }, photo.state === "parked" && retry("photos", photo), photo.blob && button(say("Save the photograph to a file"), () => hand(photo.blob, photo.name), "quiet")));
}

export async function show(root, { load }) {
  const draw = async () => {
    const rows = (await records.all()).reverse();
    const pictures = (await photos.all()).filter((photo) => photo.state !== "stored");
    const of = (...states) => rows.filter((row) => states.includes(row.state));
    const part = (heading, items) => items.length && el("section", {}, el("h2", {}, heading), el("ul", { class: "plain-list" }, items));
    const waiting = [...of("kept", "waiting"), ...of("parked")];
    root.replaceChildren(
      session.stop ? notice("late", session.why, el("p", {}, el("a", { class: "button", href: session.signIn }, say("Sign in to send")))) : "",
      el("p", {}, waiting.length || pictures.length ? say("%(records)s and %(photographs)s not sent.", {
        records: sayMany("%(count)s record", "%(count)s records", waiting.length), photographs: sayMany("%(count)s photograph", "%(count)s photographs", pictures.length) }) : say("Everything on this phone was sent.")),
      el("p", { class: "actions" },
        waiting.length || pictures.length ? button(session.sending ? say("Sending…") : say("Send now"), () => send()) : "",
        waiting.length ? button(say("Save what is not sent to a file"), async () => hand(await unsent(), "stubble-records.json"), "quiet") : ""),
      ...[part(say("Needs attention"), of("parked").map(line)), part(say("Not sent yet"), of("kept", "waiting").map(line)),
        part(say("Photographs not sent"), pictures.map(picture)), part(say("Sent"), of("sent").map(line))].filter(Boolean),
    );
  };
  await draw();
  return load(draw);
}
