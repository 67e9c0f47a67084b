/** data-map="view": look at sites, no-go ground, holes and finds; a tap names what lies there and links to it. */
import { createEmpty, extend } from "ol/extent.js";
import { layGround, lookAt } from "./ground.js";
import { isBackground } from "./kinds.js";
import { drawLegend } from "./legend.js";
import { fetchFeatures, pageFeatures } from "./read.js";
import { sayWhatLies } from "./says.js";

/** The extent of what the page is about: everything but the background, or the background where that is all. */
function extentOf(features) {
  const own = features.filter((feature) => !isBackground(feature));
  const extent = createEmpty();
  for (const feature of own.length ? own : features) extend(extent, feature.getGeometry().getExtent());
  return extent;
}

/** Reaching a link that carries data-show="code" moves the map to the feature whose label begins with it. */
function followLinks(map, source) {
  document.addEventListener("focusin", (event) => {
    const wanted = event.target.closest?.("[data-show]")?.dataset.show;
    const found = wanted && source.getFeatures().find((feature) => feature.get("label")?.startsWith(wanted));
    if (found) lookAt(map, found.getGeometry().getExtent(), { glide: true });
  });
}

/** Start a map to look at in `element`. */
export async function startView(element) {
  const part = element.closest(".map-part") ?? element.parentElement;
  const says = part.querySelector("[data-map-says]");
  element.classList.add("look");
  const { map, source } = layGround(element, pageFeatures(element), { polite: true });
  source.addFeatures(await fetchFeatures(element, says));
  lookAt(map, extentOf(source.getFeatures()));
  drawLegend(part.querySelector("[data-map-legend]"), source.getFeatures());
  if (says) sayWhatLies(map, says);
  followLinks(map, source);
  element.dataset.ready = "yes";
}
