/** Bring every [data-map] of the page to life; `pick` waits until static/js/pick.js asks for it. */
import "./map.css";
import { startDraw } from "./draw.js";
import { startFinds } from "./finds.js";
import { startView } from "./view.js";

export { startPick } from "./pick.js";

const STARTERS = { view: startView, draw: startDraw, finds: startFinds };

for (const element of document.querySelectorAll("[data-map]")) {
  STARTERS[element.dataset.map]?.(element);
}
