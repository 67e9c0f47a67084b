/** The legend in HTML under the map: one line for each kind that the map really shows. */
import { keyOf, KINDS } from "./kinds.js";

const SVG = "http://www.w3.org/2000/svg";

/** Sample shapes; their colours come from the style sheet by class, so they follow dark mode. */
const SAMPLES = {
  find: ["path", { d: "M12 1 19 8 12 15 5 8Z" }],
  cluster: ["circle", { cx: 12, cy: 8, r: 7 }],
  gate: ["path", { d: "M12 1 20 15H4Z" }],
  place: ["rect", { x: 6, y: 2, width: 12, height: 12 }],
  hole: ["circle", { cx: 12, cy: 8, r: 5 }],
  "hole-dug": ["circle", { cx: 12, cy: 8, r: 5 }],
};
const AREA = ["rect", { x: 2, y: 2, width: 20, height: 12 }];
const LINE = ["path", { d: "M1 13 9 5l6 6 8-8" }];
const LINES = new Set(["beck", "road", "track", "hedge", "grid", "shore", "lane", "walk"]);

function sample(key) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", "0 0 24 16");
  svg.setAttribute("aria-hidden", "true");
  svg.setAttribute("class", `sample ${key}`);
  const [name, attributes] = SAMPLES[key] ?? (LINES.has(key) ? LINE : AREA);
  const shape = svg.appendChild(document.createElementNS(SVG, name));
  for (const [attribute, value] of Object.entries(attributes)) shape.setAttribute(attribute, value);
  if (LINES.has(key)) shape.setAttribute("fill", "none");
  if (["no-go", "site-shut"].includes(key)) {
    const bars = svg.appendChild(document.createElementNS(SVG, "path"));
    bars.setAttribute("d", key === "no-go" ? "M4 14 14 2M12 14 20 4M4 4l8 10M12 2l8 10" : "M4 14 14 2M12 14 20 4");
  }
  return svg;
}

/** Fill `list` with the kinds found among `features`, in drawing order. */
export function drawLegend(list, features) {
  if (!list) return;
  const present = new Set(features.map(keyOf));
  list.replaceChildren();
  for (const [key, words] of KINDS) {
    if (!present.has(key)) continue;
    const item = list.appendChild(document.createElement("li"));
    item.append(sample(key), words);
  }
}
