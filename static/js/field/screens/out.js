/** Sign out of the hunt: first the holes, then the record; the leader's roll call stays what counts. */
import { el, notice } from "../dom.js";
import { form } from "../form.js";
import { openHoles } from "../pack.js";
import * as parts from "../parts.js";
import * as records from "../records.js";
import { say, sayMany } from "../tongue.js";
import { openList } from "./holes.js";

export const title = say("Sign out of the hunt");

export async function show(root, { pack, go }) {
  const again = async () => go("#/out", say("Filled."));
  const rows = await records.all();
  const open = openHoles(pack, rows).length;
  const holes = open
    ? [notice("late", sayMany("One hole is not filled. Fill and check before you go.", "%(count)s holes are not filled. Fill and check before you go.", open)), openList(pack, rows, again)]
    : [notice("success", say("All your holes on this hunt are filled, as far as this phone knows."))];
  root.append(...holes);
  await form(root, {
    kind: "sign_out",
    pack,
    fields: [
      open ? parts.words("words", say("Why a hole stays open, and who knows"), { rows: 3, required: true, most: 500 }) : parts.words("words", say("Anything to tell the leader"), { rows: 2, most: 500 }),
    ],
    buttons: [["out", open ? say("Sign out with open holes") : say("Sign out: I am leaving")]],
    read: (data) => ({ unfilled: open, words: data.get("words").trim() }),
    done: (id, data, words) => go("#/", `${words} ${say("Until it says sent, tell the leader yourself that you are off the land.")}`),
  });
  root.append(el("p", { class: "muted" }, say("The leader waits for everybody: sign out as you leave the land.")));
}
