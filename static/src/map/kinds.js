/** The kinds of feature a map of ours can show, in drawing order, with the words of the legend. */
export const KINDS = [
  ["wood", "Wood"],
  ["water", "Water"],
  ["shore", "Shore"],
  ["farmstead", "Farmstead"],
  ["beck", "Beck or ditch"],
  ["road", "Road"],
  ["track", "Farm track"],
  ["hedge", "Hedge or fence"],
  ["grid", "National grid"],
  ["covered", "Ground covered"],
  ["gap", "Gap: not searched yet"],
  ["site-open", "Open"],
  ["site-ask", "Ask first"],
  ["site-shut", "Shut"],
  ["site", "Boundary"],
  ["drawn", "To be saved"],
  ["protected", "Protected place"],
  ["no-go", "No-go area"],
  ["square", "Square in which it lies"],
  ["lane", "Lane"],
  ["walk", "Track walked"],
  ["hole-dug", "Hole, not filled"],
  ["hole", "Hole, filled"],
  ["find", "Find"],
  ["cluster", "Finds, how many"],
  ["gate", "Way in"],
  ["place", "Place"],
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
