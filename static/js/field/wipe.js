/** What leaves the phone when somebody goes; what waits to be sent never does. */
import * as store from "./store.js";

function each(of, goes) {
  of.openCursor().onsuccess = ({ target: { result: cursor } }) => {
    if (!cursor) return;
    if (goes(cursor.value)) cursor.delete();
    cursor.continue();
  };
}

/** What may stay once nobody is signed in: which hunt it is and the words of the forms and drills, no land and nobody's number. */
function thinned({ pk, at, keep_until: until, hunt, choices, reading_fields: fields, drills }) {
  const bare = (drills ?? []).map(({ calls, ...words }) => words);
  const only = { pk: hunt.pk, code: hunt.code, on: hunt.on };
  const none = { sites: [], lanes: [], grids: [], kits: [], bench: [], cautions: [], holes: [] };
  return { v: 1, pk, at, keep_until: until, thin: true, hunt: only, choices, reading_fields: fields, drills: bare, ...none };
}

/** Thin every pack. */
export function thin() {
  return store.write(["packs"], (packs) => {
    packs.openCursor().onsuccess = ({ target: { result: cursor } }) => {
      if (!cursor) return;
      cursor.update(thinned(cursor.value));
      cursor.continue();
    };
  });
}

/** Wipe all that is not waiting to be sent: packs, what was sent, photographs that arrived, settings but the counter and the clock. */
export function forget() {
  return store.write(["packs", "records", "photos", "meta"], (packs, records, photos, meta) => {
    each(packs, () => true);
    each(records, (row) => row.state === "sent");
    each(photos, (row) => row.state === "stored");
    each(meta, (row) => !["seq", "clock"].includes(row.key));
  });
}

/** Delete what is past its day: packs, and of that day's records what arrived. `now` by the server's clock. */
export function tidy(now) {
  const over = (row) => Boolean(row.keep_until) && Date.parse(row.keep_until) < Date.parse(now);
  return store.write(["packs", "records", "photos"], (packs, records, photos) => {
    each(packs, over);
    each(records, (row) => row.state === "sent" && over(row));
    each(photos, (row) => row.state === "stored" && over(row));
  });
}
