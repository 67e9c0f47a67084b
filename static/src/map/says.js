/** A tap on the map is answered in words under it, with links, instead of a bubble that hides the ground. */
import { isBackground } from "./kinds.js";
import { say } from "../../js/field/tongue.js";

function lineOf(feature) {
  const item = document.createElement("li");
  const address = feature.get("url");
  const holder = item.appendChild(document.createElement(address ? "a" : "span"));
  if (address) holder.href = address;
  holder.textContent = feature.get("label") || feature.get("kind");
  const word = feature.get("word") ?? { open: say("open"), ask: say("ask first"), shut: say("shut") }[feature.get("status")];
  if (word) item.append(`: ${word}`);
  return item;
}

/** Write what lies under each tap into `says` (a live region). */
export function sayWhatLies(map, says) {
  map.on("singleclick", (event) => {
    const hits = map.getFeaturesAtPixel(event.pixel, { hitTolerance: 10 });
    const named = [...new Set(hits)].filter((feature) => !isBackground(feature) && (feature.get("label") || feature.get("url")));
    says.replaceChildren();
    if (!named.length) {
      says.textContent = say("Nothing is recorded at that place.");
      return;
    }
    const list = says.appendChild(document.createElement("ul"));
    list.append(...named.slice(0, 12).map(lineOf));
  });
}
