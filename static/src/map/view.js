/** data-map="view": look at sites, no-go ground, holes and finds; a tap names what lies there and links to it. */
import { boundingExtent, createEmpty, extend } from "ol/extent.js";
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

/** Links that carry data-show="code" move the map to the feature of that label. */
function followLinks(map, source, element) {
  document.addEventListener("focusin", (event) => {
    const wanted = event.target.closest?.("[data-show]")?.dataset.show;
    const found = wanted && source.getFeatures().find((feature) => feature.get("label") === wanted);
    if (found && element.isConnected) lookAt(map, boundingExtent([found.getGeometry().getExtent().slice(0, 2), found.getGeometry().getExtent().slice(2)]), { glide: true });
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
  followLinks(map, source, element);
  element.dataset.ready = "yes";
}
