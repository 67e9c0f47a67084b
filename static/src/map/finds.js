/** data-map="finds": the finds in view, asked from the server as the map moves; a tap on a cluster goes closer. */
import { transformExtent } from "ol/proj.js";
import { addClusters } from "./clusters.js";
import { layGround, lookAt } from "./ground.js";
import { drawLegend } from "./legend.js";
import { featuresOf, pageFeatures } from "./read.js";
import { sayWhatLies } from "./says.js";
import { say } from "../../js/field/tongue.js";

const PAUSE_MS = 180; // after the last movement
const CLOSER = 2; // zooms
const WORLD = [-180, -85, 180, 85];
const DEGREES = "EPSG:4326";
const METRES = "EPSG:3857";

/** The frame in view as form fields. It goes into the body of the request, never into an address. */
function frameOf(map) {
  const view = map.getView();
  const seen = transformExtent(view.calculateExtent(map.getSize()), METRES, DEGREES);
  const [west, south, east, north] = seen.map((value, i) => (i < 2 ? Math.max : Math.min)(value, WORLD[i]));
  return { west, south, east, north, zoom: Math.max(0, Math.min(22, Math.round(view.getZoom()))) };
}

function asker(element, token) {
  let running = null;
  return async (frame) => {
    running?.abort();
    running = new AbortController();
    const body = new URLSearchParams({ csrfmiddlewaretoken: token, ...frame });
    const answer = await fetch(element.dataset.url, { method: "POST", body, signal: running.signal });
    if (!answer.ok) throw new Error(String(answer.status));
    return answer.json();
  };
}

function put(source, features, old) {
  for (const feature of old) source.removeFeature(feature);
  source.addFeatures(features);
  return features;
}

function goCloser(map, clusters) {
  map.on("singleclick", (event) => {
    const hit = map.getFeaturesAtPixel(event.pixel, { hitTolerance: 6 }).find((feature) => clusters.hasFeature(feature));
    if (!hit) return;
    const view = map.getView();
    view.setCenter(hit.getGeometry().getCoordinates());
    view.setZoom(view.getZoom() + CLOSER);
  });
}

/** Start the map of finds in `element`. */
export async function startFinds(element) {
  const part = element.closest(".map-part");
  const says = part.querySelector("[data-map-says]");
  const legend = part.querySelector("[data-map-legend]");
  const ask = asker(element, part.querySelector("[name=csrfmiddlewaretoken]").value);
  element.classList.add("look");
  const ground = pageFeatures(element);
  const { map, source } = layGround(element, ground, { polite: true });
  const clusters = addClusters(map);
  let shown = [];

  async function show(frame) {
    try {
      const found = await ask(frame);
      const features = featuresOf(found);
      const isCluster = (feature) => feature.get("kind") === "cluster";
      clusters.clear();
      clusters.addFeatures(features.filter(isCluster));
      shown = put(source, features.filter((feature) => !isCluster(feature)), shown);
      drawLegend(legend, [...ground, ...features]);
      return found.bbox;
    } catch (error) {
      if (error.name !== "AbortError") says.textContent = say("The map could not be loaded just now. The list beside it is complete.");
      return null;
    }
  }

  const extent = await show({});
  if (extent) lookAt(map, transformExtent(extent, DEGREES, METRES), { maxZoom: 16 });
  let pause = 0;
  map.on("moveend", () => {
    clearTimeout(pause);
    pause = setTimeout(() => show(frameOf(map)), PAUSE_MS);
  });
  goCloser(map, clusters);
  sayWhatLies(map, says);
  element.dataset.ready = "yes";
}
