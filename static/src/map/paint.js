/** How each kind of feature looks: fills, edges and patterns by key. */
import { getPointResolution } from "ol/proj.js";
import Circle from "ol/geom/Circle.js";
import Fill from "ol/style/Fill.js";
import Stroke from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import { crossed, dots, slant } from "./hatch.js";
import { thin } from "./ink.js";
import { keyOf, orderOf, rankOf } from "./kinds.js";
import { marksOf } from "./marks.js";
import { hasWords, textOf } from "./words.js";

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
    if (hasWords(feature, resolution)) {
      styles.push(new Style({ text: textOf(feature, resolution, ink), zIndex: rankOf(feature) }));
    }
    if (feature.get("accuracy_m") && feature.getGeometry().getType() === "Point") styles.push(accuracyOf(feature, ink));
    return styles;
  };
}
