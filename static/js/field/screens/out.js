/** Sign out of the hunt: first the holes, then the record; the leader's roll call stays what counts. */
import { el, notice } from "../dom.js";
import { form } from "../form.js";
import { openHoles } from "../pack.js";
import * as parts from "../parts.js";
import * as records from "../records.js";
import { openList } from "./holes.js";

export const title = "Sign out of the hunt";

export async function show(root, { pack, go }) {
  const again = async () => go("#/out", "Filled.");
  const rows = await records.all();
  const open = openHoles(pack, rows).length;
  const holes = open
    ? [notice("late", `${open === 1 ? "One hole is" : `${open} holes are`} not filled. Fill and check before you go.`), openList(pack, rows, again)]
    : [notice("success", "All your holes on this hunt are filled, as far as this phone knows.")];
  root.append(...holes);
  await form(root, {
    kind: "sign_out",
    pack,
    fields: [
      open ? parts.words("words", "Why a hole stays open, and who knows", { rows: 3, required: true, most: 500 }) : parts.words("words", "Anything to tell the leader", { rows: 2, most: 500 }),
    ],
    buttons: [["out", open ? "Sign out with open holes" : "Sign out: I am leaving"]],
    read: (data) => ({ unfilled: open, words: data.get("words").trim() }),
    done: (id, data, words) => go("#/", `${words} Until it says sent, tell the leader yourself that you are off the land.`),
  });
  root.append(el("p", { class: "muted" }, "The leader waits for everybody: sign out as you leave the land."));
}
