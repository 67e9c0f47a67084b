/** A map of ours: the club's own vector ground, a scale bar, zoom buttons, keyboard; tiles only where a URL is set. */
import { defaults as defaultControls } from "ol/control/defaults.js";
import ScaleLine from "ol/control/ScaleLine.js";
import { defaults as defaultInteractions } from "ol/interaction/defaults.js";
import DragPan from "ol/interaction/DragPan.js";
import MouseWheelZoom from "ol/interaction/MouseWheelZoom.js";
import TileLayer from "ol/layer/Tile.js";
import VectorLayer from "ol/layer/Vector.js";
import OlMap from "ol/Map.js";
import { fromLonLat } from "ol/proj.js";
import VectorSource from "ol/source/Vector.js";
import XYZ from "ol/source/XYZ.js";
import View from "ol/View.js";
import { inkOf, onSchemeChange } from "./ink.js";
import { painter } from "./paint.js";

const BRITISH_ISLES = [-3.4, 54.6];
const STILL = matchMedia("(prefers-reduced-motion: reduce)").matches;

/** On a page that scrolls, one finger scrolls the page and two move the map; the wheel waits for the focus. */
function politeInteractions() {
  const polite = defaultInteractions({ dragPan: false, mouseWheelZoom: false });
  const condition = function twoFingersOrMouse(event) {
    return event.originalEvent.pointerType !== "touch" || this.getPointerCount() === 2;
  };
  return polite.extend([new DragPan({ condition }), new MouseWheelZoom({ onFocusOnly: true })]);
}

function tilesOf(element) {
  const { tiles, tilesCredit } = element.dataset;
  return tiles ? [new TileLayer({ source: new XYZ({ url: tiles, attributions: tilesCredit }) })] : [];
}

/** Return {map, source, layer}: an OpenLayers map in `element` with one vector layer holding `features`. */
export function layGround(element, features, { polite = false } = {}) {
  const source = new VectorSource({ features });
  const layer = new VectorLayer({ source, style: painter(inkOf(element)), declutter: true });
  const map = new OlMap({
    target: element,
    layers: [...tilesOf(element), layer],
    controls: defaultControls({ rotate: false, attribution: Boolean(element.dataset.tiles) }).extend([new ScaleLine({ minWidth: 80 })]),
    interactions: polite ? politeInteractions() : defaultInteractions({ altShiftDragRotate: false, pinchRotate: false }),
    view: new View({ center: fromLonLat(BRITISH_ISLES), zoom: 5, maxZoom: 21 }),
  });
  onSchemeChange(() => layer.setStyle(painter(inkOf(element))));
  return { map, source, layer };
}

/** Show `extent` with a margin, or leave the map where it is when there is nothing to show. */
export function lookAt(map, extent, { maxZoom = 17.5, glide = false } = {}) {
  if (!extent.every(Number.isFinite)) return;
  map.getView().fit(extent, { padding: [36, 36, 36, 36], maxZoom, duration: glide && !STILL ? 250 : 0 });
}
