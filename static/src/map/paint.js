/** How each kind of feature looks: fills, edges and patterns by key, words where the map has room for them. */
import { getPointResolution } from "ol/proj.js";
import Circle from "ol/geom/Circle.js";
import Fill from "ol/style/Fill.js";
import Stroke from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import Text from "ol/style/Text.js";
import { crossed, dots, slant } from "./hatch.js";
import { thin } from "./ink.js";
import { isBackground, keyOf, orderOf } from "./kinds.js";
import { marksOf } from "./marks.js";
import { capital, say } from "../../js/field/tongue.js";

const WORDS = { open: capital(say("open")), ask: capital(say("ask first")), shut: capital(say("shut")) };
// In metres a pixel: further out there is no room for words, and before that only for a site's code.
const WORDS_BELOW = 16;
const STATE_BELOW = 8;
const WHOLE_NAME_BELOW = 3;
const POINT_WORDS_BELOW = 1.2;
const WORDS_ON_TOP = 100; // the words of what lies below (sites) go before those of what lies above (holes)

const line = (color, width, lineDash) => new Stroke({ color, width, lineDash });
const area = (color, edge) => ({ fill: new Fill({ color }), stroke: edge });

function looks(ink) {
  return {
    wood: area(dots(ink.moss, 1.7), line(thin(ink.moss, 0.6), 1)),
    water: area(thin(ink.line, 0.8), line(ink.edge, 1)),
    shore: { stroke: line(ink.edge, 2, [8, 3, 2, 3]) },
    farmstead: area(thin(ink.muted, 0.55), line(ink.muted, 1)),
    beck: { stroke: line(ink.edge, 2.5) },
    road: { stroke: line(ink.edge, 4) },
    track: { stroke: line(ink.muted, 1.8, [7, 5]) },
    hedge: { stroke: line(thin(ink.moss, 0.75), 2) },
    grid: { stroke: line(thin(ink.muted, 0.5), 0.8) },
    covered: area(thin(ink.moss, 0.28), line(thin(ink.moss, 0.6), 0.8)),
    gap: area(dots(ink.straw), line(ink.straw, 1.5, [2, 4])),
    "site-open": area(thin(ink.moss, 0.14), line(ink.moss, 3)),
    "site-ask": area(dots(ink.straw), line(ink.straw, 3, [10, 6])),
    "site-shut": area(slant(ink.madder), line(ink.madder, 3, [2, 5])),
    site: area(thin(ink.ink, 0.04), line(ink.ink, 2.5)),
    drawn: area(thin(ink.clay, 0.14), line(ink.clay, 3)),
    protected: area(crossed(ink.madder), line(ink.madder, 2.5, [8, 4])),
    "no-go": area(crossed(ink.madder), line(ink.madder, 2)),
    square: area(thin(ink.clay, 0.12), line(ink.clay, 2, [4, 4])),
    lane: { stroke: line(ink.clay, 1.6) },
    walk: { stroke: line(ink.ink, 1.4, [1, 3]) },
  };
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

function textOf(feature, resolution, ink) {
  return new Text({
    text: wordsOf(feature, resolution),
    font: "600 13px system-ui, sans-serif",
    fill: new Fill({ color: ink.ink }),
    stroke: new Stroke({ color: ink.paper, width: 4 }),
    offsetY: feature.getGeometry().getType() === "Point" ? 17 : 0,
    overflow: true,
    placement: feature.get("kind") === "grid" ? "line" : "point",
  });
}

function accuracyOf(feature, ink) {
  const metres = feature.get("accuracy_m");
  const centre = feature.getGeometry().getCoordinates();
  const radius = metres / getPointResolution("EPSG:3857", 1, centre);
  return new Style({ geometry: new Circle(centre, radius), stroke: line(ink.clay, 1.2, [3, 3]), fill: new Fill({ color: thin(ink.clay, 0.08) }), zIndex: 15 });
}

/** A style function for a vector layer, painted with the colours of `ink`. */
export function painter(ink) {
  const look = looks(ink);
  const marks = marksOf(ink);
  return (feature, resolution) => {
    const key = keyOf(feature);
    const options = { ...(look[key] ?? look.site), zIndex: orderOf(feature) };
    if (feature.getGeometry().getType().includes("Point")) options.image = marks[key] ?? marks.place;
    const styles = [new Style(options)];
    if (resolution < WORDS_BELOW && (!isBackground(feature) || key === "grid")) {
      styles.push(new Style({ text: textOf(feature, resolution, ink), zIndex: WORDS_ON_TOP - orderOf(feature) }));
    }
    if (feature.get("accuracy_m") && feature.getGeometry().getType() === "Point") styles.push(accuracyOf(feature, ink));
    return styles;
  };
}
