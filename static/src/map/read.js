/** Read features for a map: JSON blocks of the page named in data-layers, and addresses in data-url. */
import GeoJSON from "ol/format/GeoJSON.js";
import { say } from "../../js/field/tongue.js";

export const format = new GeoJSON({ dataProjection: "EPSG:4326", featureProjection: "EPSG:3857" });

function block(id) {
  const text = document.getElementById(id)?.textContent;
  return text ? JSON.parse(text) : null;
}

/** Features of one GeoJSON object; null, an empty object and a bare geometry are all allowed. */
export function featuresOf(geojson) {
  return geojson?.type ? format.readFeatures(geojson) : [];
}

/** Every feature named by data-layers (ids, space between), read at once. */
export function pageFeatures(element) {
  const ids = (element.dataset.layers ?? "").split(/\s+/).filter(Boolean);
  return ids.flatMap((id) => featuresOf(block(id)));
}

/** Features from data-url (same site only), or a sentence in `says` when they cannot be had. */
export async function fetchFeatures(element, says) {
  if (!element.dataset.url) return [];
  try {
    const answer = await fetch(element.dataset.url, { headers: { Accept: "application/geo+json" } });
    if (!answer.ok) throw new Error(String(answer.status));
    return featuresOf(await answer.json());
  } catch {
    if (says) says.textContent = say("The map could not be loaded just now. The list beside it is complete.");
    return [];
  }
}
