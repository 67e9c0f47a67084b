/** A ground reading of one's own machine; its fields come with the pack, so that both ends ask the same. */
import { notice } from "../dom.js";
import { form } from "../form.js";
import * as parts from "../parts.js";
import { say } from "../tongue.js";

export const title = say("Ground reading");

function part({ name, label, type, choices, min, max, required, initial }, value) {
  const chosen = value ?? initial ?? "";
  if (choices?.length > 6) return parts.list(name, label, choices, { chosen, required, empty: chosen ? "" : say("Choose") });
  if (choices?.length) return parts.taps(name, label, choices, { chosen, required: required !== false });
  const asked = { value: chosen, required: required === true };
  const limits = { start: Math.max(0, min ?? 0), min: min ?? -9999, max: max ?? 9999 };
  if (type === "number") return parts.stepper(name, label, { ...asked, ...limits, value: chosen === "" ? null : chosen, grain: "any" });
  return parts.words(name, label, { ...asked, rows: name === "notes" ? 3 : 0 });
}

const read = (pack, data) => {
  const values = pack.reading_fields.map(({ name, type }) => [name, type === "number" ? parts.number(data, name) : data.get(name)]);
  return { kit: parts.number(data, "kit"), ...Object.fromEntries(values) };
};

export async function show(root, { pack, old, go }) {
  if (!pack.kits.length) {
    const why = pack.thin ? say("Sign in and load the hunt again: your kit was taken off this phone.") : say("You have no kit in the club's book. Add it on your kit page, then load the hunt again.");
    root.append(notice("soon", why));
    return undefined;
  }
  const before = old?.data ?? {};
  const kits = pack.kits.map(({ pk, name }) => [pk, name]);
  await form(root, {
    kind: "reading",
    pack,
    old,
    fields: [parts.list("kit", say("Machine"), kits, { chosen: before.kit }), ...pack.reading_fields.map((field) => part(field, before[field.name]))],
    buttons: [["keep", old ? say("Save the change") : say("Save the reading")]],
    read: (data) => read(pack, data),
    done: (id, data, words) => go("#/", words),
  });
  return undefined;
}
