/** The size of what is drawn, in words. A preview on a sphere (within 0.6 %); the server measures on the ellipsoid. */
import { getArea, getLength } from "ol/sphere.js";

const ACRE_M2 = 4046.8564224;

/** "About 4.21 ha (10.4 acres)", "About 320 m", or "" for points and nothing. */
export function sizeOf(features) {
  const shapes = features.map((feature) => feature.getGeometry());
  const square = shapes.reduce((sum, shape) => sum + getArea(shape), 0);
  if (square > 0) return `About ${(square / 10_000).toFixed(2)} ha (${(square / ACRE_M2).toFixed(1)} acres)`;
  const long = shapes.reduce((sum, shape) => sum + getLength(shape), 0);
  return long > 0 ? `About ${long.toFixed(0)} m` : "";
}
