/** An incident: what, in a few words, who was told; the drill follows where there is one. */
import { form } from "../form.js";
import * as parts from "../parts.js";
import { place } from "../place.js";
import { say } from "../tongue.js";

const SAFE = say("Only from where it is safe: nobody goes nearer for a picture. Leave out the faces of people hurt.");

export const title = say("Incident");

export async function show(root, { pack, old, args, go, drills }) {
  const before = old?.data ?? {};
  const kind = before.kind ?? (args[0] === "as" ? args[1] : "");
  const where = place(pack, { kept: before.position, text: before.text });
  await form(root, {
    kind: "incident",
    pack,
    old,
    fields: [
      parts.list("kind", say("What happened"), pack.choices.incident_kinds, { chosen: kind, empty: kind ? "" : say("Choose"), required: true }),
      parts.words("words", say("In a few words"), { value: before.words, rows: 4, required: true }),
      parts.words("told", say("Who was told"), { value: before.told, most: 200, help: say("For example: the leader, 999.") }),
      parts.pictures("photo_scene", say("Photographs"), SAFE),
      where.node,
    ],
    buttons: [["keep", old ? say("Save the change") : say("Save the incident")]],
    read: (data) => ({
      kind: data.get("kind"),
      words: data.get("words").trim(),
      told: data.get("told").trim(),
      hole: before.hole ?? null,
      ...where.value(),
    }),
    done: (id, data, words) => go(drills.some((drill) => drill.kind === data.kind) ? `#/stop/${data.kind}` : "#/", words),
  });
  if (!before.position) where.start();
  return where.stop;
}
