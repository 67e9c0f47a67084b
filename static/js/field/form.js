/** A form that keeps: what is typed survives a closed page, Save counts once, a full phone is said and loses nothing. */
import { el, notice } from "./dom.js";
import { newId } from "./ids.js";
import * as photos from "./photos.js";
import { chosenPictures } from "./parts.js";
import * as records from "./records.js";
import { tell } from "./session.js";
import * as store from "./store.js";
import { say } from "./tongue.js";

const FULL = say("This phone has no room left, so this is NOT kept yet. Free some room (photographs, other pages), then save again.");
const NOT = say("This phone did not keep it. Try again; if it stays so, write it on paper.");

function fill(form, values) {
  for (const field of form.elements) {
    const value = values[field.name];
    if (value === undefined || field.type === "file") continue;
    if (["radio", "checkbox"].includes(field.type)) field.checked = [value].flat().includes(field.value);
    else field.value = value;
  }
}

function typed(form) {
  const data = new FormData(form);
  return Object.fromEntries([...new Set(data.keys())].map((name) => [name, data.getAll(name)]).filter(([, all]) => typeof all[0] === "string"));
}

/** Keep what is typed until it is saved, and bring it back. */
async function draft(form, key) {
  const before = await store.setting(key);
  if (before) {
    fill(form, before);
    form.prepend(notice("", say("What you typed before the page was closed is here again.")));
  }
  let timer = 0;
  const note = () => store.keep(key, typed(form)).catch(() => {}); // only a comfort: saving itself says when a phone is full
  form.addEventListener("input", () => (clearTimeout(timer), (timer = setTimeout(note, 300))));
  return () => (clearTimeout(timer), store.drop("meta", key));
}

async function keepPictures(form, of, owner, until) {
  let lost = 0;
  for (const { file, shows } of chosenPictures(form)) {
    await photos.add(file, { of, owner, shows }, until).catch(() => (lost += 1));
  }
  return lost;
}

/**
 * Put a form on the screen.
 * @param {HTMLElement} root
 * @param {{kind: string, pack: object, old: object|null, fields: Node[], buttons: [string, string][], read: (data: FormData, pressed: string) => object, done: (id: string, data: object, words: string) => void}} what
 *   `buttons`: [value, label] of each way to save; `read` makes the record's data.
 */
export async function form(root, { kind, pack, old = null, fields, buttons, read, done }) {
  const id = old?.client_id ?? newId();
  const wrong = el("div", { role: "alert" });
  const saves = buttons.map(([value, label], index) => el("button", { class: index ? "big quiet" : "big", value }, label));
  const node = el("form", {}, fields, wrong, el("div", { class: "saves" }, saves));
  root.append(node);
  const forgetDraft = old ? async () => {} : await draft(node, `draft:${kind}`);
  let busy = false;
  node.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (busy) return;
    busy = true;
    try {
      const data = read(new FormData(node), event.submitter?.value ?? buttons[0][0]);
      await (old ? records.edit(id, data) : records.add({ client_id: id, kind, data }, pack));
      const lost = await keepPictures(node, kind, id, pack.keep_until);
      await forgetDraft().catch(() => {});
      tell("saved");
      navigator.storage?.persist?.().catch(() => {});
      done(id, data, lost ? say("The record is kept, but this phone has no room for its photographs: take them with the camera and add them later.") : say("Kept on this phone."));
    } catch (error) {
      wrong.replaceChildren(notice("error", store.isFull(error) ? FULL : `${NOT} (${error.message})`));
      busy = false;
    }
  });
  return node;
}
