/** data-map="pick": a tap (or Enter at the cross) gives one place to the form; static/js/pick.js starts it and fills the fields. */
import Feature from "ol/Feature.js";
import Point from "ol/geom/Point.js";
import { getPointResolution, toLonLat } from "ol/proj.js";
import { layGround, lookAt } from "./ground.js";
import { pageFeatures } from "./read.js";

const TAP_PX = 12; // how far a fingertip misses, in pixels

/** Show the map in `element`; call `take({lon, lat, accuracy})` for each place, accuracy in metres. */
export function startPick(element, take) {
  const { map, source } = layGround(element, pageFeatures(element));
  lookAt(map, source.getExtent());
  const chosen = new Feature({ kind: "find" });

  function choose(place) {
    const metres = TAP_PX * getPointResolution("EPSG:3857", map.getView().getResolution(), place);
    const accuracy = Math.max(1, Math.ceil(metres));
    chosen.setGeometry(new Point(place));
    chosen.set("accuracy_m", accuracy);
    if (!source.hasFeature(chosen)) source.addFeature(chosen);
    const [lon, lat] = toLonLat(place);
    take({ lon, lat, accuracy });
  }

  const cross = element.appendChild(document.createElement("span"));
  cross.className = "cross";
  cross.setAttribute("aria-hidden", "true");
  map.on("singleclick", (event) => choose(event.coordinate));
  element.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    choose(map.getView().getCenter());
  });
  element.dataset.ready = "yes";
}
