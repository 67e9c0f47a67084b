/** The size of what is drawn, in words. A preview on a sphere (within 0.6 %); the server measures on the ellipsoid. */
import { getArea, getLength } from "ol/sphere.js";
import { figure, say } from "../../js/field/tongue.js";

const ACRE_M2 = 4046.8564224;

/** "About 4.21 ha (10.4 acres)", "About 320 m", or "" for points and nothing. */
export function sizeOf(features) {
  const shapes = features.map((feature) => feature.getGeometry());
  const square = shapes.reduce((sum, shape) => sum + getArea(shape), 0);
  if (square > 0) return say("About %(ha)s ha (%(acres)s acres)", { ha: figure(square / 10_000, 2), acres: figure(square / ACRE_M2, 1) });
  const long = shapes.reduce((sum, shape) => sum + getLength(shape), 0);
  return long > 0 ? say("About %(metres)s m", { metres: long.toFixed(0) }) : "";
}
