/** Take the corner nearest to a place out of a shape, so that a corner can be removed without a mouse. */
const LEAST = { Polygon: 4, LineString: 2 }; // positions a ring (closed) or a line must still hold before one may go

const squared = (a, b) => (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2;

function ringsOf(geometry) {
  const coordinates = geometry.getCoordinates();
  return { Polygon: coordinates, LineString: [coordinates] }[geometry.getType()] ?? [];
}

/** The corner of `features` nearest to `place` as {feature, ring, index}, or null where there is none. */
export function nearestCorner(features, place) {
  let best = null;
  for (const feature of features) {
    ringsOf(feature.getGeometry()).forEach((points, ring) => {
      points.forEach((point, index) => {
        const distance = squared(point, place);
        if (!best || distance < best.distance) best = { feature, ring, index, distance };
      });
    });
  }
  return best;
}

/** Remove that corner. Returns false, and changes nothing, when the shape would no longer be one. */
export function removeCorner({ feature, ring, index }) {
  const geometry = feature.getGeometry();
  const closed = geometry.getType() === "Polygon";
  const rings = ringsOf(geometry);
  const points = rings[ring];
  if (points.length <= LEAST[geometry.getType()]) return false;
  points.splice(index, 1);
  if (closed && index === 0) points[points.length - 1] = points[0];
  geometry.setCoordinates(closed ? rings : points);
  return true;
}
