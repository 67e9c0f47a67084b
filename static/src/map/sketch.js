/** The three interactions of drawing: draw a shape, move its corners, snap to neighbouring boundaries. */
import Draw from "ol/interaction/Draw.js";
import Modify from "ol/interaction/Modify.js";
import Snap from "ol/interaction/Snap.js";
import VectorLayer from "ol/layer/Vector.js";
import VectorSource from "ol/source/Vector.js";
import CircleMark from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import Stroke from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import { inkOf, onSchemeChange, thin } from "./ink.js";

const SNAP_PX = 12;

function styleOf(ink) {
  const edge = new Stroke({ color: ink.clay, width: 3 });
  const fill = new Fill({ color: thin(ink.clay, 0.16) });
  const image = new CircleMark({ radius: 7, fill: new Fill({ color: ink.sheet }), stroke: edge });
  return new Style({ stroke: edge, fill, image, zIndex: 40 });
}

/** Add the layer drawn on and its interactions to `map`; `neighbours` is the source to snap to. */
export function addSketch(map, neighbours, type) {
  const element = map.getTargetElement();
  const source = new VectorSource();
  const layer = new VectorLayer({ source, style: styleOf(inkOf(element)) });
  const style = styleOf(inkOf(element));
  const draw = new Draw({ source, type, style, freehandCondition: () => false, stopClick: true });
  const modify = new Modify({ source, style, pixelTolerance: 16 });
  map.addLayer(layer);
  map.addInteraction(modify);
  map.addInteraction(draw);
  // Snapping must come last: it moves the pointer before the others see it.
  map.addInteraction(new Snap({ source: neighbours, pixelTolerance: SNAP_PX }));
  map.addInteraction(new Snap({ source, pixelTolerance: SNAP_PX }));
  onSchemeChange(() => layer.setStyle(styleOf(inkOf(element))));
  return { source, draw, modify, type };
}
