/** The server's clock as this phone knows it: device time and a known offset, so that a phone a day out still dates records right. */
import * as store from "./store.js";

const CHANGED_MS = 1_000;

/** Milliseconds to add to this device's clock; null until the server was heard. */
let offset = null;
/** When the page heard it, by the device and by a clock that nobody can set, to notice a device clock that was moved. */
let heard = null;
/** Did this page hear the server? What an earlier one knew is of no use once somebody has set the clock. */
let fresh = false;
const A_DAY_MS = 86_400_000;

/** Read what was kept from earlier. */
export async function load() {
  offset = await store.setting("clock");
  heard = { date: Date.now(), steady: performance.now() };
}

/** Learn from an answer's `at`, and when it was asked for and came, by the device. Half the way there is the best guess. */
export function learn(serverAt, asked, came) {
  const server = Date.parse(serverAt ?? "");
  if (Number.isNaN(server)) return;
  const next = Math.round(server - (asked + came) / 2);
  const moved = offset === null || Math.abs(next - offset) > CHANGED_MS;
  heard = { date: Date.now(), steady: performance.now() };
  fresh = true;
  if (moved) {
    offset = next;
    if (store.account()) store.keep("clock", offset).catch(() => {}); // a full phone still has it until it is closed
  }
}

/**
 * How far the device's clock was moved by hand while this page was open. The steady clock may stand still while a
 * phone sleeps, so only a clock set back, or one that ran without a sleep, can be told; a sleep is no move.
 */
function movedBack() {
  if (!heard) return 0;
  const ran = performance.now() - heard.steady;
  const said = Date.now() - heard.date;
  return said < ran - CHANGED_MS ? said - ran : 0;
}

/** Now, as two times: `at` by the server's clock as far as it is known, `device_at` by this phone; and the offset used. */
export function stamp() {
  const device = Date.now();
  const used = offset === null ? null : offset - movedBack();
  return {
    at: new Date(device + (used ?? 0)).toISOString(),
    device_at: new Date(device).toISOString(),
    offset_ms: used,
  };
}

/** What time it is at the earliest: until this page hears the server, the clock may be a day out, or have been put right. */
export function earliest() {
  const { at, device_at: device } = stamp();
  return fresh ? at : new Date(Math.min(Date.parse(at), Date.parse(device)) - A_DAY_MS).toISOString();
}

/** Was the server ever heard? */
export const isKnown = () => offset !== null;

/** The time of a record that was made before the server was heard, once it was. */
export const corrected = ({ device_at: device }) => new Date(Date.parse(device) + offset).toISOString();

/** How many minutes this phone is out, where that is worth saying. */
export const minutesOut = () => (offset !== null && Math.abs(offset) > 120_000 ? Math.round(-offset / 60_000) : 0);
