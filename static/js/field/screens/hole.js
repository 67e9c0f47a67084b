/** A hole: its place fills by itself, the rest are a few taps. */
import { el, notice } from "../dom.js";
import { form } from "../form.js";
import * as parts from "../parts.js";
import { place } from "../place.js";
import * as store from "../store.js";
import { say } from "../tongue.js";

export const title = say("Hole");

/** What the last hole was like: the same ground and site, and where the steps begin. */
const usual = async () => (await store.setting("usual")) ?? {};

function fields(pack, where, old, last) {
  const { outcomes, grounds, stops } = pack.choices;
  const data = old?.data ?? last;
  const stopped = parts.list("stopped_for", say("What stopped you"), stops, { chosen: old?.data.stopped_for, empty: say("Choose") });
  const outcome = parts.taps("outcome", say("What came out"), outcomes, { chosen: old?.data.outcome });
  const follow = () => {
    const is = outcome.querySelector("input:checked")?.value === "stopped";
    stopped.hidden = !is;
    stopped.querySelector("select").required = is;
  };
  outcome.addEventListener("change", follow);
  follow();
  const sites = pack.sites.map(({ pk, code, name }) => [pk ?? code, `${code} ${name ?? ""}`]);
  const depth = { unit: "cm", value: old?.data.depth_cm, start: 10, min: 0, max: pack.hunt.deepest_cm ?? 200, required: true };
  const signal = { value: old?.data.target_id, start: last.target_id ?? 50, big: 10, min: -999, max: 999 };
  return [
    where.node,
    outcome,
    stopped,
    parts.stepper("depth_cm", say("Depth"), depth),
    parts.stepper("target_id", say("Target ID"), signal),
    parts.list("ground", say("Ground"), grounds, { chosen: data.ground }),
    sites.length > 1 ? parts.list("site", say("Site"), sites, { chosen: data.site, empty: say("From the place") }) : "",
    el("details", {}, el("summary", {}, say("Photographs, notes")),
      parts.pictures("photo_before", say("Before digging")),
      parts.pictures("photo_open", say("The open hole")),
      parts.pictures("photo_after", say("After filling")),
      parts.words("notes", say("Notes"), { value: old?.data.notes, rows: 3 })),
  ];
}

function read(data, pressed, where, old) {
  const { position, text } = where.value();
  const outcome = data.get("outcome");
  return {
    site: parts.number(data, "site"),
    position,
    text,
    depth_cm: parts.number(data, "depth_cm"),
    outcome,
    ...(outcome === "stopped" && { stopped_for: data.get("stopped_for") }),
    target_id: parts.number(data, "target_id"),
    ground: data.get("ground"),
    filled: old ? old.data.filled : pressed === "filled" && outcome !== "stopped",
    notes: data.get("notes").trim(),
  };
}

export async function show(root, { pack, old, go }) {
  const last = await usual();
  const where = place(pack, { kept: old?.data.position, text: old?.data.text });
  const deep = pack.hunt.depth_limit_cm;
  if (deep) root.append(notice("caution", say("Not deeper than %(depth)s cm on this hunt.", { depth: deep })));
  await form(root, {
    kind: "hole",
    pack,
    old,
    fields: fields(pack, where, old, last),
    buttons: old ? [["keep", say("Save the change")]] : [["filled", say("Save: hole is filled")], ["open", say("Save: still open")]],
    read: (data, pressed) => read(data, pressed, where, old),
    done: (id, data, words) => {
      store.keep("usual", { ground: data.ground, site: data.site, target_id: data.target_id }).catch(() => {});
      if (data.outcome === "stopped") return go(`#/stop/${data.stopped_for}`, words);
      const find = data.outcome === "find" && !old;
      return go("#/", words, find ? [[say("Record the find of this hole"), `#/find/for/${id}`]] : []);
    },
  });
  if (!old?.data.position) where.start();
  return where.stop;
}
