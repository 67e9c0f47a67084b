/** The words on the map, where it has room for them: what is written on a feature, and how. */
import Fill from "ol/style/Fill.js";
import Stroke from "ol/style/Stroke.js";
import Text from "ol/style/Text.js";
import { isBackground, orderOf } from "./kinds.js";
import { capital, say } from "../../js/field/tongue.js";

const WORDS = { open: capital(say("open")), ask: capital(say("ask first")), shut: capital(say("shut")) };
// In metres a pixel: further out there is no room for words, and before that only for a site's code.
const WORDS_BELOW = 16;
const STATE_BELOW = 8;
const WHOLE_NAME_BELOW = 3;
const POINT_WORDS_BELOW = 1.2;
const LANE_ROOM = [14, 10, 14, 10]; // px round a lane's number that stay free: they are a long column of the same words

/** Is anything written on this feature, seen from so far? */
export function hasWords(feature, resolution) {
  return resolution < WORDS_BELOW && (!isBackground(feature) || feature.get("kind") === "grid");
}

/** What is written on a feature: its name (a site's code alone from far away), and its state in words. */
function wordsOf(feature, resolution) {
  const isSite = feature.get("kind") === "site";
  if (feature.getGeometry().getType() === "Point" && resolution > POINT_WORDS_BELOW) return "";
  const label = feature.get("label") ?? "";
  const name = isSite && resolution > WHOLE_NAME_BELOW ? label.split(" ")[0] : label;
  if (resolution > STATE_BELOW) return name;
  return [name, feature.get("word") ?? (isSite ? WORDS[feature.get("status")] : "")].filter(Boolean).join("\n");
}

export function textOf(feature, resolution, ink) {
  return new Text({
    text: wordsOf(feature, resolution),
    font: "600 13px system-ui, sans-serif",
    fill: new Fill({ color: ink.ink }),
    stroke: new Stroke({ color: ink.paper, width: 4 }),
    offsetY: feature.getGeometry().getType() === "Point" ? 17 : 0,
    overflow: true,
    placement: feature.get("kind") === "grid" ? "line" : "point",
    padding: feature.get("kind") === "lane" ? LANE_ROOM : undefined,
  });
}
