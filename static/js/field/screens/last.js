/** Correct the last entry, or one of those before it. */
import { clockTime, el } from "../dom.js";
import * as records from "../records.js";
import { STATES, titleOf, isEditable } from "../says.js";
import { say } from "../tongue.js";

export const title = say("Correct an entry");

const MOST = 12;

export async function show(root, { pack }) {
  const rows = (await records.all()).filter((row) => isEditable(row) && row.hunt === pack.hunt.pk).reverse().slice(0, MOST);
  if (!rows.length) return void root.append(el("p", {}, say("Nothing was recorded on this phone for this hunt yet.")));
  const line = (row, index) => el("li", {}, el("a", { class: `button ${index ? "quiet" : ""} big`, href: `#/${row.kind}/edit/${row.client_id}` },
    `${index ? "" : `${say("Last:")} `}${titleOf(row)}, ${clockTime(row.at)} (${STATES[row.state]})`));
  root.append(el("ul", { class: "plain-list" }, rows.map(line)));
  return undefined;
}
