/**
 * Many fixes of one spot made into one position, without pretending that a minute of fixes is sixty measurements. Pure.
 * The same sums as the server's geo/fixes.py: weights of one over accuracy squared; errors a time t apart correlate as
 * exp(-t / 120 s); a scatter wider than the accuracies allow widens the radius (Birge's ratio); and what one receiver
 * under one sky shares never averages out, so at best half of the best fix is claimed. Radii are 95 %.
 */
import { planeAt, stepFrom } from "./plane.js";

const CORRELATION_S = 120;
const LEAST_SHARE = 0.5;
const R95_PER_SIGMA = Math.sqrt(-2 * Math.log(0.05));
const STRAYS = 3;
const SLACK_M = 3;
const MOST = 300;
const FINE = 1.5;

const sum = (values) => values.reduce((total, each) => total + each, 0);

/** Square of the mean's radius: over all pairs the shares times their correlation, in one pass over ordered times. */
function variance(shares, times) {
  let [total, carried] = [0, 0];
  shares.forEach((share, i) => {
    if (i) carried *= Math.exp(-(times[i] - times[i - 1]) / CORRELATION_S);
    total += share * share + 2 * share * carried;
    carried += share;
  });
  return total;
}

/**
 * The mean of fixes ordered by time, or null for none.
 * @param {{lat: number, lon: number, accuracy_m: number, at_s: number}[]} fixes with accuracies above zero
 * @returns {{lat: number, lon: number, accuracy_m: number, fixes: number}|null}
 */
export function mean(fixes) {
  if (!fixes.length) return null;
  const plane = planeAt(fixes[0]);
  const places = fixes.map(({ lat, lon }) => plane([lon, lat]));
  const radii = fixes.map(({ accuracy_m: radius }) => radius);
  const all = sum(radii.map((radius) => 1 / radius ** 2));
  const weights = radii.map((radius) => 1 / radius ** 2 / all);
  const [x, y] = [0, 1].map((axis) => sum(places.map((place, i) => weights[i] * place[axis])));
  const squared = variance(weights.map((weight, i) => weight * radii[i]), fixes.map((fix) => fix.at_s));
  const apart = sum(places.map(([px, py], i) => ((px - x) ** 2 + (py - y) ** 2) * (R95_PER_SIGMA / radii[i]) ** 2));
  const scatter = fixes.length > 1 ? Math.sqrt(apart / (2 * (fixes.length - 1))) : 1;
  const claimed = Math.max(Math.sqrt(squared) * Math.max(1, scatter), LEAST_SHARE * Math.min(...radii));
  return { ...stepFrom(fixes[0], [x, y]), accuracy_m: claimed, fixes: fixes.length };
}

/**
 * The mean of the finer fixes: errors that are much alike do not cancel, so one that is half as fine again only spoils
 * what is better than it.
 */
export function best(fixes) {
  const finest = Math.min(...fixes.map(({ accuracy_m: radius }) => radius));
  return mean(fixes.filter(({ accuracy_m: radius }) => radius <= FINE * finest));
}

/** Every second of a long run is dropped, the newest kept, so that an hour at one hole costs no more than five minutes. */
const thinned = (fixes) => (fixes.length < MOST ? fixes : fixes.filter((_, i) => (fixes.length - i) % 2));

/**
 * Take one fix in. A single fix far from the others is a leap of the receiver and stays out; three in a row mean that
 * the person has walked on, and the mean starts afresh from them.
 * @param {{fixes: object[], strays: object[], moved: boolean}} kept start with `{fixes: [], strays: []}`
 */
export function take(kept, fix) {
  const middle = best(kept.fixes);
  if (!middle) return { fixes: [fix], strays: [], moved: false };
  const [x, y] = planeAt(middle)([fix.lon, fix.lat]);
  if (Math.hypot(x, y) <= fix.accuracy_m + middle.accuracy_m + SLACK_M) return { fixes: [...thinned(kept.fixes), fix], strays: [], moved: false };
  const strays = [...kept.strays, fix];
  return strays.length < STRAYS ? { ...kept, strays, moved: false } : { fixes: strays, strays: [], moved: true };
}
