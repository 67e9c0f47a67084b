/** Photographs: kept whole on the phone, sent in parts after the text, smallest first, taken up again where they stopped. */
import { call } from "./api.js";
import { newId } from "./ids.js";
import * as records from "./records.js";
import { leave } from "./session.js";
import * as store from "./store.js";
import { say } from "./tongue.js";

const SMALLEST = 8 * 1024;
const LARGEST = 256 * 1024;
const QUICK_MS = 4_000;
const UNREADABLE = say("This phone can no longer read the photograph. Take it again.");

let size = 64 * 1024; // of the next part: grows where the line is good, shrinks where it breaks

/** Keep a photograph of a record. Throws when the phone is full; the record itself is safe by then. */
export function add(file, { of, owner, shows = "" }, keepUntil) {
  const told = { client_id: newId(), of, owner, shows, name: file.name || "photograph.jpg", size: file.size };
  return store.put("photos", { ...told, blob: file, received: 0, begun: false, state: "kept", keep_until: keepUntil });
}

/** Smallest first. */
export const all = async () => (await store.all("photos")).sort((a, b) => a.size - b.size);

async function sha256(blob) {
  const digest = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
  return [...new Uint8Array(digest)].map((each) => each.toString(16).padStart(2, "0")).join("");
}

const note = (photo, what) => store.change("photos", photo.client_id, (row) => Object.assign(row, what));

/** The next photograph to work on: one whose record has left the phone. */
async function next(tried, retry) {
  const gone = new Set((await records.all()).filter(({ state }) => state === "kept").map((row) => row.client_id));
  const due = (row) => row.state === "kept" || row.state === "waiting" || (retry && row.state === "parked");
  return (await all()).find((row) => due(row) && !tried.has(row.client_id) && !gone.has(row.owner));
}

/** Send one part of one photograph: "more" if it went, "done" if there is none, "later" or "stop" as the server says. */
export async function sendPart(tried, retry) {
  const photo = await next(tried, retry);
  if (!photo) return "done";
  if (photo.received >= photo.size || (photo.begun && photo.state === "parked")) return ask(photo, tried);
  return photo.begun ? part(photo, tried) : begin(photo, tried);
}

async function begin(photo, tried) {
  const { client_id: id, of, owner, shows, name, blob, size: bytes } = photo;
  const digest = await sha256(blob).catch(() => null);
  if (!digest) return refuse(photo, { why: UNREADABLE }, tried);
  const json = { account: store.account(), client_id: id, of, owner, shows, name, size: bytes, sha256: digest };
  const { status, data } = await call("photos/", { method: "POST", json });
  if (status === 200 || status === 201) return took(photo, data);
  return status >= 400 && status < 500 && !leave(status, data) ? refuse(photo, data, tried) : end(status, data);
}

async function part(photo, tried) {
  const body = await photo.blob.slice(photo.received, photo.received + size).arrayBuffer().catch(() => null);
  if (!body) return refuse(photo, { why: UNREADABLE }, tried);
  const headers = { "Upload-Offset": String(photo.received), "Content-Type": "application/offset+octet-stream" };
  const began = Date.now();
  const { status, data } = await call(`photos/${photo.client_id}/`, { method: "PATCH", body, headers });
  if ((status === 200 || status === 409) && Number.isInteger(data.received)) {
    if (status === 200) size = Date.now() - began < QUICK_MS ? Math.min(LARGEST, size * 2) : size;
    return data.received === photo.received ? "later" : took(photo, data);
  }
  if (status === 404) return anew(photo, tried);
  size = Math.max(SMALLEST, Math.floor(size / 2));
  return status >= 400 && status < 500 && !leave(status, data) ? refuse(photo, data, tried) : end(status, data);
}

async function took(photo, { received, state = photo.state, why = "" }) {
  const now = state === "waiting" && received < photo.size ? "kept" : state; // it waits for its record only once it is whole
  await note(photo, { begun: true, received, state: now, why, ...(now === "stored" && { blob: null }) });
  return "more";
}

/** All of it is there: what became of it? */
async function ask(photo, tried) {
  tried.add(photo.client_id);
  const { status, data } = await call(`photos/${photo.client_id}/`);
  if (status === 200) return took(photo, data);
  if (status === 404) return anew(photo, tried);
  return end(status, data);
}

/** The server let go of the parts: from the start, at the next pass. */
async function anew(photo, tried) {
  tried.add(photo.client_id);
  await note(photo, { begun: false, received: 0, state: "kept" });
  return "later";
}

async function refuse(photo, { why = say("The club's server does not take it.") }, tried) {
  tried.add(photo.client_id);
  await note(photo, { state: "parked", why, begun: false, received: 0 });
  return "more";
}

const end = (status, data) => (leave(status, data) ? "stop" : "later");
