/** The track of a walk: recorded while this page is open and the person wants it, kept in parts, honest about gaps. */
import { newId } from "./ids.js";
import * as records from "./records.js";
import { news, tell } from "./session.js";
import * as store from "./store.js";
import { startTrack } from "./track.js";

const OPEN = "walk:open"; // the part that is not full yet; a phone that dies leaves it here
let track = null;
let words = "";

/** A part that an earlier page left behind goes to the records as it is. */
async function gather() {
  const left = await store.setting(OPEN);
  if (!left) return;
  await records.add({ client_id: left.id, kind: "track", data: left.data }, left.pack);
  await store.drop("meta", OPEN);
  tell("saved");
}

const keyOf = (pack) => `walk:part:${pack.hunt.pk}`;

/** Keep what came; a full part becomes a record. One after the other, so that no part is taken for the next. */
let turn = Promise.resolve();
const keep = (pack, { closed, ...data }) => {
  turn = turn.then(async () => {
    const before = await store.setting(OPEN);
    const id = before?.data.part === data.part ? before.id : newId();
    const { hunt, keep_until: until } = pack;
    await store.keep(OPEN, { id, data, pack: { hunt: { pk: hunt.pk, code: hunt.code }, keep_until: until } });
    await store.keep(keyOf(pack), data.part);
    if (closed) await gather();
  }).catch(() => {}); // a full phone: the next part tries again, and the gap is said by the times in it
};

async function start(pack) {
  await gather();
  const part = ((await store.setting(keyOf(pack))) ?? 0) + 1;
  const onChange = (said) => {
    words = said;
    news.dispatchEvent(new Event("walk"));
  };
  track = startTrack((each) => keep(pack, each), { part, onChange });
}

/** Go on where an earlier page stopped, if the person had it on. */
export async function resume(pack) {
  if (pack && !track && (await store.setting("walking")) === pack.hunt.pk) await start(pack);
  else if (!track) await gather();
}

export const isOn = () => track !== null;
export const said = () => (track ? words || track.words() : "");

/** Switch it on or off. */
export async function toggle(pack) {
  if (track) {
    track.stop();
    track = null;
    await store.keep("walking", null);
  } else {
    await store.keep("walking", pack.hunt.pk);
    await start(pack);
  }
  tell();
}
