/**
 * The records on this phone. A row: {client_id, kind, hunt, code, at, device_at, offset_ms, data, state, rev, seq, tries, why?, …}.
 * State: `kept` (here only), `waiting` (for what it belongs to), `sent`, `parked` (the club's server keeps it and somebody must look).
 */
import * as clock from "./clock.js";
import { newId } from "./ids.js";
import * as store from "./store.js";

/** Give the row the next number and put it down, in the transaction that is open. */
function putNext(records, meta, row) {
  const asked = meta.get("seq");
  asked.onsuccess = () => {
    const seq = (asked.result?.value ?? 0) + 1;
    meta.put({ key: "seq", value: seq });
    records.put({ state: "kept", rev: 0, tries: 0, ...row, seq });
  };
}

/** Keep a new record, or what became of it on the screen; resolves when it is on the disk. */
export function add({ client_id: id = newId(), kind, data }, pack) {
  const row = { client_id: id, kind, data, ...clock.stamp() };
  row.hunt = pack.hunt.pk;
  row.code = pack.hunt.code;
  row.keep_until = pack.keep_until;
  return store.write(["records", "meta"], (records, meta) => {
    const asked = records.get(id); // a second tap on Save finds the first one's row
    asked.onsuccess = () => (asked.result ? revise(records, meta, asked.result, data) : putNext(records, meta, row));
  });
}

/** What differs, by field. */
function differences(before, after) {
  const names = Object.keys(after).filter((name) => JSON.stringify(before[name]) !== JSON.stringify(after[name]));
  return Object.fromEntries(names.map((name) => [name, after[name]]));
}

/** A change of what the server has already is a record of its own, that follows. */
function follow(records, meta, row, fields) {
  if (!Object.keys(fields).length) return;
  const { hunt, code, keep_until: until } = row;
  const next = { client_id: newId(), kind: "change", hunt, code, keep_until: until, data: { of: row.client_id, fields } };
  putNext(records, meta, { ...next, ...clock.stamp() });
}

function revise(records, meta, row, data) {
  if (row.state === "sent") follow(records, meta, row, differences(row.data, data));
  else Object.assign(row, { state: "kept", rev: row.rev + 1, why: "" });
  records.put({ ...row, data });
}

/** Change a record: in place until it was sent, by a change that follows afterwards. */
export function edit(id, data) {
  return store.write(["records", "meta"], (records, meta) => {
    const asked = records.get(id);
    asked.onsuccess = () => asked.result && revise(records, meta, asked.result, data);
  });
}

/** Write down what the server answered about a row as it was sent; edited meanwhile, the rest follows. */
export function settle(sent, result) {
  return store.write(["records", "meta"], (records, meta) => {
    const asked = records.get(sent.client_id);
    asked.onsuccess = () => {
      const row = asked.result;
      if (!row) return;
      const there = ["stored", "again"].includes(result.state);
      const edited = row.rev !== sent.rev;
      Object.assign(row, { tries: row.tries + 1, why: result.why ?? "", way_on: result.way_on ?? "" });
      Object.assign(row, { label: result.label ?? row.label, url: result.url ?? row.url });
      if (there) row.state = "sent";
      else if (!edited) row.state = result.state === "parked" ? "parked" : "waiting";
      if (there && edited) follow(records, meta, row, differences(sent.data, row.data));
      records.put(row);
    };
  });
}

/** Every record of this account, oldest first. */
export const all = async () => (await store.all("records")).sort((a, b) => a.seq - b.seq);

/** Date for good what was made before the server's clock was known, so that every try sends the same. */
export async function dateAll() {
  for (const row of await all()) {
    const undated = row.offset_ms === null && row.state === "kept" && clock.isKnown();
    if (undated) await store.change("records", row.client_id, (each) => ({ ...each, at: clock.corrected(each), offset_ms: 0 }));
  }
}

/** How it goes to the server, and into a file. */
export function envelope(row) {
  const { client_id: id, kind, hunt, at, device_at: device, data } = row;
  return { client_id: id, kind, hunt, at, device_at: device, data };
}

/** Send a row or a photograph again that somebody has looked at. */
export const retry = (name, id) => store.change(name, id, (row) => ({ ...row, state: "kept", why: "" }));
