/** The text field under a drawing map holds the shape as GeoJSON (RFC 7946): written as it is drawn, read when pasted. */
import { featuresOf, format } from "./read.js";

const OPTIONS = { decimals: 7, rightHanded: true }; // 7 decimals of a degree are about a centimetre; RFC 7946 winds outlines anticlockwise

/** One geometry for all features: as it is when single, Multi… when several, empty text when none. */
export function textOf(features) {
  const geometries = features.map((feature) => format.writeGeometryObject(feature.getGeometry(), OPTIONS));
  if (!geometries.length) return "";
  if (geometries.length === 1) return JSON.stringify(geometries[0]);
  return JSON.stringify({ type: `Multi${geometries[0].type}`, coordinates: geometries.map((geometry) => geometry.coordinates) });
}

function parts(feature) {
  const geometry = feature.getGeometry();
  if (!geometry.getType().startsWith("Multi")) return [feature];
  const single = geometry.getPolygons?.() ?? geometry.getLineStrings?.() ?? geometry.getPoints();
  return single.map((part) => {
    const copy = feature.clone();
    copy.setGeometry(part);
    return copy;
  });
}

/** Features in a text, multi-part shapes taken apart; null where the text is not GeoJSON (the server may read it yet). */
export function featuresIn(text) {
  if (!text.trim()) return [];
  try {
    return featuresOf(JSON.parse(text)).filter((feature) => feature.getGeometry()).flatMap(parts);
  } catch {
    return null;
  }
}
