/**
 * Record where one walks while the page is open, in parts that can be kept and sent, and say where nothing was recorded:
 * a phone that sleeps, or sees no sky, leaves a gap, and a gap is never drawn over.
 */
import { reader } from "./device.js";
import { planeAt } from "./plane.js";
import { say, sayMany } from "./tongue.js";

export const MOST_POINTS = 300;
/** A point every five seconds or two metres: enough to see a lane and a stop, 24 parts in ten hours. */
const KEEP_S = 5;
const KEEP_M = 2;
const LEAST_S = 1;
/** From here the server too breaks a line (geo/track_parts.py). */
export const GAP_S = 15;
/** A fix worse than this says nothing about which lane was walked. */
export const COARSE_M = 30;

const round = (value, decimals) => Number(value.toFixed(decimals));

/** An empty part; the last point of the part before goes on in it, so that the line does not break where parts meet. */
const empty = (part, carried = []) => ({ part, points: carried, gaps: [] });

/**
 * Take one fix into a walk. `last_s` is when the last usable fix came, kept or not.
 * @param {{part: number, points: number[][], gaps: number[][]}} open
 * @returns {{open: object, last_s: number|null}}
 */
export function step(open, last, fix) {
  if (!fix || fix.accuracy_m === null || fix.accuracy_m > COARSE_M || (last !== null && fix.at_s <= last)) return { open, last_s: last };
  const point = [round(fix.at_s, 1), round(fix.lat, 7), round(fix.lon, 7), round(fix.accuracy_m, 1)];
  const before = open.points.at(-1);
  if (!before) return { open: { ...open, points: [point] }, last_s: fix.at_s };
  const slept = last !== null && fix.at_s - last > GAP_S;
  const waited = fix.at_s - before[0];
  const walked = Math.hypot(...planeAt({ lat: before[1], lon: before[2] })([fix.lon, fix.lat]));
  const wanted = slept || waited >= KEEP_S || (waited >= LEAST_S && walked >= KEEP_M);
  if (!wanted) return { open, last_s: fix.at_s };
  const gaps = slept ? [...open.gaps, [round(last, 1), point[0]]] : open.gaps;
  return { open: { ...open, points: [...open.points, point], gaps }, last_s: fix.at_s };
}

/** Minutes recorded and missed in words: "Track: 84 min recorded; 2 gaps, 25 min in all, when the phone slept or saw no sky." */
export function trackWords({ from, to, gaps, missed_s: missed }) {
  if (from === null) return say("Track: nothing recorded yet.");
  const minutes = (seconds) => (seconds < 60 ? `${Math.round(seconds)} s` : `${Math.round(seconds / 60)} min`);
  const values = { time: minutes(to - from - missed), missed: minutes(missed) };
  if (!gaps) return say("Track: %(time)s recorded, no gap.", values);
  return sayMany("Track: %(time)s recorded; 1 gap of %(missed)s when the phone slept or saw no sky.",
    "Track: %(time)s recorded; %(count)s gaps, %(missed)s in all, when the phone slept or saw no sky.", gaps, values);
}

/**
 * @param {(part: {part: number, points: number[][], gaps: number[][], closed: boolean}) => void} save told when a part is
 *   full, when the page is hidden, and at the end. The same `part` may come again with more until it comes `closed`;
 *   one that never came closed (the phone died) is as good as it was saved and may be sent as it is.
 * @param {{geolocation?: Geolocation, now?: () => number, part?: number, page?: Document, onChange?: (words: string) => void}} [means]
 *   `part` is the first number to use
 * @returns {{stop: () => void, words: () => string}}
 */
export function startTrack(save, means = {}) {
  const { geolocation = globalThis.navigator?.geolocation, now = Date.now, part = 1, page = globalThis.document, onChange } = means;
  const readFix = reader(now);
  let [open, last] = [empty(part), null];
  const told = { from: null, to: null, gaps: 0, missed_s: 0 };

  const keep = (closed) => open.points.length > 1 && save({ ...open, closed });
  const missed = ([from, to]) => Object.assign(told, { gaps: told.gaps + 1, missed_s: told.missed_s + to - from });

  const onFix = (fix) => {
    const read = readFix(fix);
    if (read && last !== null && read.at_s < last - GAP_S) {
      keep(true); // the device's clock was set back: times within a part only go on
      [open, last] = [empty(open.part + 1), null];
    }
    const gaps = open.gaps.length;
    ({ open, last_s: last } = step(open, last, read));
    if (last === null) return;
    Object.assign(told, { from: told.from ?? last, to: last });
    if (open.gaps.length > gaps) missed(open.gaps.at(-1));
    if (open.points.length >= MOST_POINTS) {
      keep(true);
      open = empty(open.part + 1, [open.points.at(-1)]);
    }
    onChange?.(trackWords(told));
  };
  const onHide = () => page.visibilityState === "hidden" && keep(false);
  const watch = geolocation?.watchPosition(onFix, () => {}, { enableHighAccuracy: true, maximumAge: 0 });
  page?.addEventListener("visibilitychange", onHide);
  const stop = () => {
    if (watch !== undefined) geolocation.clearWatch(watch);
    page?.removeEventListener("visibilitychange", onHide);
    keep(true);
  };
  return { stop, words: () => trackWords(told) };
}
