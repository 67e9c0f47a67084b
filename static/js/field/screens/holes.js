/** My holes that are not filled: one tap says that one is. */
import { button, clockTime, el, notice } from "../dom.js";
import { openHoles } from "../pack.js";
import * as records from "../records.js";
import { tell } from "../session.js";
import { say, sayMany } from "../tongue.js";

export const title = say("My holes not filled");

const named = ({ number, label, at, depth_cm: deep }) => `${label ?? (number ? say("Hole %(number)s", { number }) : say("Hole"))}, ${clockTime(at)}${deep ? `, ${deep} cm` : ""}`;

/** The list as rows with a button each; `after` is called when one was filled. */
export function openList(pack, rows, after) {
  const row = (hole) => {
    const words = named(hole);
    const fill = button(say("Filled"), async () => {
      fill.disabled = true;
      await records.add({ kind: "fill", data: { hole: hole.client_id } }, pack);
      tell("saved");
      after();
    });
    fill.setAttribute("aria-label", say("Filled: %(hole)s", { hole: words }));
    return el("li", { class: "line" }, el("span", {}, words), fill);
  };
  return el("ul", { class: "plain-list" }, openHoles(pack, rows).map(row));
}

export async function show(root, { pack }) {
  const says = el("p", { role: "status", tabindex: "-1" });
  const list = el("div", {});
  root.append(says, list);
  const draw = async (moved) => {
    const rows = await records.all();
    const open = openHoles(pack, rows);
    says.textContent = open.length ? sayMany("%(count)s hole to fill.", "%(count)s holes to fill.", open.length) : say("All your holes on this hunt are filled, as far as this phone knows.");
    list.replaceChildren(openList(pack, rows, () => draw(true)));
    if (moved) says.focus();
  };
  await draw(false);
  if (pack.thin) root.append(notice("soon", say("Holes logged elsewhere are not known here until you sign in again.")));
}
