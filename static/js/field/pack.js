/** The pack of a hunt: fetched at the gate while there is signal, kept until its day is over. */
import { call } from "./api.js";
import * as clock from "./clock.js";
import { session, tell } from "./session.js";
import * as store from "./store.js";
import { say, sayMany } from "./tongue.js";
import { tidy } from "./wipe.js";

/** The words of the forms for a phone that has no pack: what was found still goes down. */
export const BARE = { hunt: {}, choices: {}, sites: [], lanes: [], grids: [], kits: [], bench: [], cautions: [], holes: [], drills: [], reading_fields: [] };

/** Fetch today's hunts and a pack for each; resolves with a sentence about what came of it. */
export async function refresh() {
  const { status, data } = await call("hunts/");
  if (status !== 200 || !Array.isArray(data.hunts)) return say("No answer from the club's server; what is stored on this phone stays as it is.");
  const gone = (await store.all("packs")).filter((pack) => !data.hunts.some((hunt) => hunt.pk === pack.pk));
  let came = 0;
  for (const hunt of data.hunts) came += (await fetchOne(hunt)) ? 1 : 0;
  for (const pack of gone) await store.drop("packs", pack.pk); // no place on it any more, or called off
  await store.keep("asked", clock.stamp().at);
  tell();
  if (!data.hunts.length) return say("You hold no place on a hunt today. Sign up on the hunt's page, then ask again here.");
  return came === data.hunts.length ? say("Today's hunt is stored on this phone.") : say("Not all of it came; try again while there is signal.");
}

async function fetchOne(hunt) {
  const { status, data } = await call(`hunts/${hunt.pk}/`);
  if ((status === 403 || status === 404) && data.why) await store.drop("packs", hunt.pk);
  if (status !== 200 || data.hunt?.pk !== hunt.pk) return false;
  await store.put("packs", { ...BARE, ...data, pk: hunt.pk });
  return true;
}

/** Every pack on this phone, the earliest day first. */
export const all = async () => (await store.all("packs")).sort((a, b) => String(a.hunt.on).localeCompare(String(b.hunt.on)));

/** The pack in use: the one chosen, or the one of today, or the only one; null when there is none. */
export async function current() {
  const packs = await all();
  const chosen = await store.setting("hunt");
  const today = new Date(clock.stamp().at).toLocaleDateString("sv-SE"); // ISO 8601 by the phone's own zone
  return packs.find((pack) => pack.pk === chosen) ?? packs.find((pack) => pack.hunt.on === today) ?? packs[0] ?? null;
}

export const choose = (pk) => store.keep("hunt", pk);

/** At each start: throw away what is surely past its day, and fetch afresh where there is signal. */
export async function start() {
  await tidy(clock.earliest());
  return navigator.onLine !== false && !session.stop ? refresh() : "";
}

/** How old what is stored is, in words. */
export function age(pack) {
  const minutes = Math.round((Date.parse(clock.stamp().at) - Date.parse(pack.at)) / 60_000);
  if (!(minutes >= 2)) return say("just now");
  if (minutes < 120) return sayMany("%(count)s minute ago", "%(count)s minutes ago", minutes);
  return sayMany("%(count)s hour ago", "%(count)s hours ago", Math.round(minutes / 60));
}

/** Holes of this person on this hunt that are not filled: those known to the server, and those of this phone. */
export function openHoles(pack, rows) {
  const mine = rows.filter((row) => row.hunt === pack.hunt.pk);
  const filled = new Set(mine.filter(({ kind }) => kind === "fill").map(({ data }) => data.hole));
  const here = mine.filter(({ kind }) => kind === "hole");
  const known = new Set(here.map((row) => row.client_id));
  const there = (pack.holes ?? []).filter((hole) => !known.has(hole.client_id)).map((hole) => ({ ...hole, filled: hole.state !== "dug" }));
  const own = here.map(({ client_id: id, at, data, label }) => ({ client_id: id, at, label, ...data }));
  return [...there, ...own].filter((hole) => !hole.filled && !filled.has(hole.client_id));
}
