/** The kinds of feature a map of ours can show, in drawing order, with the words of the legend. */
import { capital, say } from "../../js/field/tongue.js";

export const KINDS = [
  ["wood", say("Wood")],
  ["water", say("Water")],
  ["shore", say("Shore")],
  ["farmstead", say("Farmstead")],
  ["beck", say("Beck or ditch")],
  ["road", say("Road")],
  ["track", say("Farm track")],
  ["hedge", say("Hedge or fence")],
  ["grid", say("National grid")],
  ["covered", say("Ground covered")],
  ["gap", say("Gap: not searched yet")],
  ["site-open", capital(say("open"))],
  ["site-ask", capital(say("ask first"))],
  ["site-shut", capital(say("shut"))],
  ["site", say("Boundary")],
  ["drawn", say("To be saved")],
  ["protected", say("Protected place")],
  ["no-go", say("No-go area")],
  ["square", say("Square in which it lies")],
  ["lane", say("Lane")],
  ["walk", say("Track walked")],
  ["hole-dug", say("Hole, not filled")],
  ["hole", say("Hole, filled")],
  ["find", say("Find")],
  ["cluster", say("Finds, how many")],
  ["gate", say("Way in")],
  ["place", say("Place")],
];

const ORDER = new Map(KINDS.map(([kind], index) => [kind, index]));

/** The key of a feature in KINDS: its kind, with the state that changes its look. Unknown kinds are places. */
export function keyOf(feature) {
  const kind = feature.get("kind") ?? "place";
  const key = `${kind}-${feature.get("status")}`;
  if (ORDER.has(key)) return key;
  return ORDER.has(kind) ? kind : "place";
}

/** The drawing order of a feature: the ground below, sites above it, points on top. */
export function orderOf(feature) {
  return ORDER.get(keyOf(feature));
}

/** The ground that the club drew as background carries no label of its own and answers no tap. */
export function isBackground(feature) {
  return orderOf(feature) <= ORDER.get("gap");
}

const WORDS_ON_TOP = 100; // the words of what lies below (sites) go before those of what lies above (holes)
const OWN_FIRST = 50; // of lanes, those of the reader before all others: among them the next, which comes first

/** Whose words are put first where there is room for some: the higher, and of equals the one that comes first. */
export function rankOf(feature) {
  const isOwnLane = feature.get("kind") === "lane" && feature.get("word");
  return WORDS_ON_TOP - orderOf(feature) + (isOwnLane ? OWN_FIRST : 0);
}
