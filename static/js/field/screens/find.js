/** A find: what it is, how many, of which hole; with a place of its own where no hole was dug. */
import { clockTime, el } from "../dom.js";
import { form } from "../form.js";
import * as parts from "../parts.js";
import { place } from "../place.js";
import * as records from "../records.js";
import { say } from "../tongue.js";

export const title = say("Find");

/** Own holes of this hunt, the last one first. */
async function holes(pack) {
  const here = (await records.all()).filter((row) => row.hunt === pack.hunt.pk && row.kind === "hole").reverse();
  const known = new Set(here.map((row) => row.client_id));
  const own = here.map(({ client_id: id, at, data }) => [id, `${clockTime(at)}, ${data.depth_cm ?? "?"} cm`, data.outcome]);
  const there = (pack.holes ?? []).filter((hole) => !known.has(hole.client_id)).reverse();
  return [...own, ...there.map(({ client_id: id, number, at, outcome }) => [id, `${say("Hole %(number)s", { number })}, ${clockTime(at)}`, outcome])];
}

function materials(pack, chosen) {
  const each = ([value, label]) => el("label", {}, el("input", { type: "checkbox", name: "materials", value, checked: chosen.includes(value) }), ` ${label}`);
  return el("details", {}, el("summary", {}, say("Material, notes")),
    el("fieldset", { class: "field taps" }, el("legend", {}, say("Material")), el("div", {}, (pack.choices.materials ?? []).map(each))));
}

function read(data, where) {
  const hole = data.get("hole") || null;
  const { position, text } = where.value();
  return {
    hole,
    object_type: data.get("object_type").trim(),
    count: parts.number(data, "count") ?? 1,
    coin: data.get("coin") === "yes" || null, // not ticked is not known
    materials: data.getAll("materials"),
    position: hole ? null : position,
    text: hole ? "" : text,
    notes: data.get("notes").trim(),
  };
}

export async function show(root, { pack, old, args, go }) {
  const before = old?.data ?? {};
  const own = await holes(pack);
  const asked = before.hole ?? (args[0] === "for" ? args[1] : (own.find(([, , outcome]) => outcome === "find") ?? own[0])?.[0]);
  const where = place(pack, { kept: before.position, text: before.text, label: say("Where it lay") });
  const hole = parts.list("hole", say("Which hole"), own.map(([id, words]) => [id, words]), { chosen: old ? before.hole ?? "" : asked, empty: say("No hole (on the surface)") });
  const follow = () => {
    const surface = !hole.querySelector("select").value;
    where.node.hidden = !surface;
    if (surface && !before.position) where.start();
    else where.stop();
  };
  hole.addEventListener("change", follow);
  const more = materials(pack, before.materials ?? []);
  more.append(parts.words("notes", say("Notes"), { value: before.notes, rows: 3 }));
  await form(root, {
    kind: "find",
    pack,
    old,
    fields: [
      parts.words("object_type", say("What is it"), { value: before.object_type, required: true, most: 120, help: say("A plain word will do: button, buckle, coin.") }),
      parts.stepper("count", say("How many"), { value: before.count ?? 1, big: 10, start: 1, min: 1, max: 999, required: true }),
      parts.tick("coin", say("It is a coin"), before.coin),
      hole,
      where.node,
      parts.pictures("photo_face", say("Photograph")),
      parts.pictures("photo_in situ", say("Photograph in the ground")),
      more,
    ],
    buttons: [["keep", old ? say("Save the change") : say("Save the find")]],
    read: (data) => read(data, where),
    done: (id, data, words) => go("#/", words),
  });
  follow();
  return where.stop;
}
