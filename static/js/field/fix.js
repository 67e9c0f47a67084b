/** Watch the device's position while the person digs: average it, say in words how good it is, and never stand in the way. */
import { reader } from "./device.js";
import { best, take } from "./mean.js";
import { figure, say, sayMany } from "./tongue.js";

/** Half of what an eight-figure reference asks for. */
export const GOOD_ENOUGH_M = 5;
const PATIENCE_MS = 30_000;
const GAIN = 0.9; // less than a tenth better within PATIENCE_MS: waiting on brings little
const SET_BACK_S = 15; // older by this much: not a late fix, the device's clock was set back
const WITHOUT = say("You can go on without a position, or type a grid reference.");

const FAULTS = {
  1: ["denied", say("This page may not use your position. Allow it in the browser's settings for this page and come back to this screen.")],
  2: ["unavailable", say("Your phone finds no position just now. Switch location on and step into the open.")],
  3: ["late", say("No position came within 30 seconds. Step into the open and hold the phone up; it goes on trying.")],
};

const shown = (metres) => (metres < 1 ? figure(metres, 1) : Math.ceil(metres - 1e-9));

/** The words for an average, how long ago it last got a tenth better, and whether the person has walked on. */
export function wordsFor({ accuracy_m: accuracy, fixes }, idleMs, moved) {
  const values = { metres: shown(accuracy) };
  if (moved) return say("You have moved: measuring afresh. Good to %(metres)s m so far.", values);
  if (accuracy <= GOOD_ENOUGH_M) {
    return sayMany("Good enough: within %(metres)s m, from one fix.", "Good enough: within %(metres)s m, from %(count)s fixes.", fixes, values);
  }
  if (idleMs >= PATIENCE_MS) return say("Good to %(metres)s m and getting no better here. Go on with it, or step into the open.", values);
  return say("Good to %(metres)s m so far. Leave the phone beside the hole while you dig: it may get better.", values);
}

/** The position as records carry it; `accuracy_m` is the radius of 95 % confidence (W3C Geolocation, "accuracy"). */
function asPosition({ lat, lon, accuracy_m: accuracy, fixes }, at) {
  return {
    lat: Number(lat.toFixed(7)),
    lon: Number(lon.toFixed(7)),
    accuracy_m: accuracy === null ? null : Number(accuracy.toFixed(2)),
    method: fixes > 1 ? "averaged" : "device",
    fixes,
    at: new Date(at).toISOString(),
  };
}

/**
 * @param {(told: {position: object|null, good: boolean, words: string, state: string}) => void} onChange told at each fix
 *   and each fault; `state` is waiting, taking, good, denied, unavailable or late
 * @param {{geolocation?: Geolocation, now?: () => number}} [means]
 * @returns {{stop: () => void, best: () => object|null}} `best()` is the position so far
 */
export function startFix(onChange, { geolocation = globalThis.navigator?.geolocation, now = Date.now } = {}) {
  let kept = { fixes: [], strays: [] };
  let position = null;
  let [gainedAt, gained, stopped] = [now(), Infinity, false];
  const readFix = reader(now);

  const tell = (state, words) => stopped || onChange({ position, good: state === "good", words, state });

  const onFix = (fix) => {
    const read = readFix(fix);
    const since = read ? read.at_s - (kept.fixes.at(-1)?.at_s ?? -Infinity) : 0;
    if (stopped || !read || (since <= 0 && since > -SET_BACK_S)) return;
    if (since <= 0) kept = { fixes: [], strays: [] };
    if (read.accuracy_m === null) {
      if (!kept.fixes.length) position = asPosition({ ...read, fixes: 1 }, read.at_s * 1000);
      tell("taking", say("There is a position, but your phone does not say how good it is. Go on with it, or type a grid reference."));
      return;
    }
    kept = take(kept, read);
    const middle = best(kept.fixes);
    position = asPosition(middle, kept.fixes.at(-1).at_s * 1000);
    if (kept.moved || middle.accuracy_m < GAIN * gained) [gainedAt, gained] = [now(), middle.accuracy_m];
    const state = middle.accuracy_m <= GOOD_ENOUGH_M && !kept.moved ? "good" : "taking";
    tell(state, wordsFor(middle, now() - gainedAt, kept.moved));
  };

  const onFault = ({ code }) => {
    const [state, words] = FAULTS[code] ?? FAULTS[2];
    if (code === 1 && watch !== null) geolocation.clearWatch(watch); // only a refusal is final
    tell(state, `${words} ${position ? say("What came so far is kept.") : WITHOUT}`);
  };

  tell("waiting", say("Waiting for a position. You can fill in the rest meanwhile."));
  let watch = null;
  const options = { enableHighAccuracy: true, maximumAge: 0, timeout: PATIENCE_MS };
  if (geolocation) watch = geolocation.watchPosition(onFix, onFault, options);
  else onFault({ code: 2 });
  const stop = () => {
    stopped = true;
    if (watch !== null) geolocation.clearWatch(watch);
  };
  return { stop, best: () => position };
}
