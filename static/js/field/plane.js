/**
 * A flat metre grid round a place, and what is nearest on it. Pure.
 * Degrees become metres with the ellipsoid's own radii at the middle latitude (Gauss's mid-latitude method, from memory):
 * within a field that is true to millimetres, at 20 km to 0.1 %. GeoJSON order inside: longitude, latitude.
 */
import { say } from "./tongue.js";

const MAJOR_M = 6378137; // WGS84
const E2 = 0.00669437999014;
const RADIAN = Math.PI / 180;
const POINTS = [say("north"), say("north-east"), say("east"), say("south-east"), say("south"), say("south-west"), say("west"), say("north-west")];

/** What a position with no accuracy is taken for: a phone under leaf, 95 % (as the server takes it). */
export const UNKNOWN_M = 22;

/** The 95 % radius in metres, or null where the device says none; none has an error of 0. */
export const known = (accuracy) => (Number.isFinite(accuracy) && accuracy > 0 ? accuracy : null);

/** A function from [lon, lat] to metres east and north of the place. */
export function planeAt({ lat, lon }) {
  return ([x, y]) => {
    const middle = ((lat + y) / 2) * RADIAN;
    const w = 1 - E2 * Math.sin(middle) ** 2;
    const across = MAJOR_M / Math.sqrt(w);
    const turn = ((((x - lon + 180) % 360) + 360) % 360) - 180;
    return [turn * RADIAN * across * Math.cos(middle), (y - lat) * RADIAN * ((across * (1 - E2)) / w)];
  };
}

/** Degrees of a step in metres from the place. */
export function stepFrom({ lat, lon }, [x, y]) {
  const [east] = planeAt({ lat, lon })([lon + 0.001, lat]);
  const [, north] = planeAt({ lat, lon })([lon, lat + 0.001]);
  return { lat: lat + (0.001 * y) / north, lon: lon + (0.001 * x) / east };
}

/** The lists of positions in a geometry: rings of polygons, or lines. */
export function pathsOf(geometry) {
  const { type, coordinates } = geometry ?? {};
  if (type === "LineString") return [coordinates];
  if (type === "Polygon" || type === "MultiLineString") return coordinates;
  if (type === "MultiPolygon") return coordinates.flat();
  if (type === "GeometryCollection") return geometry.geometries.flatMap(pathsOf);
  return [];
}

/** Does the geometry run across the 180th meridian? The server draws no such site; a flat grid would tear it. */
export function isTorn(geometry) {
  const longitudes = pathsOf(geometry).flat().map(([lon]) => lon);
  let [west, east] = [Infinity, -Infinity];
  for (const lon of longitudes) [west, east] = [Math.min(west, lon), Math.max(east, lon)];
  return east - west > 180;
}

/** The place nearest to the origin on the step from a to b. */
function nearestOn([ax, ay], [bx, by]) {
  const [dx, dy] = [bx - ax, by - ay];
  const square = dx * dx + dy * dy;
  const share = square ? Math.min(1, Math.max(0, -(ax * dx + ay * dy) / square)) : 0;
  return [ax + share * dx, ay + share * dy];
}

/**
 * The nearest place of the geometry's lines, in metres from the origin of the plane.
 * @returns {{metres: number, toward: number[]}|null} null for a geometry without a line
 */
export function nearest(plane, geometry) {
  let best = null;
  for (const path of pathsOf(geometry)) {
    const flat = path.map(plane);
    for (let i = 0; i < flat.length; i += 1) {
      const toward = nearestOn(flat[Math.max(i - 1, 0)], flat[i]);
      const metres = Math.hypot(...toward);
      if (!best || metres < best.metres) best = { metres, toward };
    }
  }
  return best;
}

/** Is the origin of the plane inside? Every ring it lies in turns the answer round, so holes count as outside. */
export function holds(plane, geometry) {
  let inside = false;
  for (const path of pathsOf(geometry)) {
    const flat = path.map(plane);
    for (let i = 1; i < flat.length; i += 1) {
      const [[ax, ay], [bx, by]] = [flat[i - 1], flat[i]];
      if (ay > 0 !== by > 0 && ax - (ay * (bx - ax)) / (by - ay) > 0) inside = !inside;
    }
  }
  return inside;
}

/** One of eight points of the compass, in words, from true north. */
export function compass([x, y]) {
  return POINTS[(Math.round(Math.atan2(x, y) / RADIAN / 45) + 8) % 8];
}
