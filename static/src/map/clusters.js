/** Many finds as one mark with their number: larger for more, so that the number is not told by colour. */
import VectorLayer from "ol/layer/Vector.js";
import VectorSource from "ol/source/Vector.js";
import CircleMark from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import Stroke from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import Text from "ol/style/Text.js";
import { inkOf, onSchemeChange } from "./ink.js";

const LEAST_PX = 11;
const MOST_PX = 26;

/** The number as it fits into a mark: 950, 1.2k, 34k. */
export function shortNumber(count) {
  if (count < 1000) return String(count);
  const thousands = count / 1000;
  return `${thousands < 10 ? thousands.toFixed(1).replace(/\.0$/, "") : Math.round(thousands)}k`;
}

function styleOf(ink) {
  return (feature) => {
    const count = feature.get("count");
    const radius = Math.min(MOST_PX, LEAST_PX + 3.2 * Math.log10(count));
    return new Style({
      image: new CircleMark({ radius, fill: new Fill({ color: ink.clay }), stroke: new Stroke({ color: ink.sheet, width: 2 }) }),
      text: new Text({ text: shortNumber(count), font: "650 12px system-ui, sans-serif", fill: new Fill({ color: ink.sheet }) }),
      zIndex: 30,
    });
  };
}

/** Add a layer of clusters to `map` and return its source. */
export function addClusters(map) {
  const source = new VectorSource();
  const element = map.getTargetElement();
  const layer = new VectorLayer({ source, style: styleOf(inkOf(element)), zIndex: 2 });
  onSchemeChange(() => layer.setStyle(styleOf(inkOf(element))));
  map.addLayer(layer);
  return source;
}
