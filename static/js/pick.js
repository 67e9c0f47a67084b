/** [data-pick]: fill a form's position fields from the device's own fix or from a tap on the map, which is loaded only then. */
import { say } from "./field/tongue.js";

const LONG_ENOUGH_MS = 15_000;
const GOOD_ENOUGH_M = 5;

/** Write the position into the hidden fields and clear the typed one, so that what was asked for last counts. */
function fill(form, { lat, lon, accuracy, method }) {
  const values = { lat: lat.toFixed(7), lon: lon.toFixed(7), accuracy: accuracy.toFixed(1), method, text: "" };
  for (const [name, value] of Object.entries(values)) {
    const field = form.querySelector(`[data-position="${name}"]`);
    if (field) field.value = value;
  }
}

const REFUSALS = {
  1: say("Your browser does not let this page see your position. Allow it for this page, or type a grid reference."),
  2: say("Your position cannot be had just now. Step into the open and try again, or type a grid reference."),
  3: say("No fix came within 15 seconds. Step into the open and try again, or type a grid reference."),
};

/** Listen for fixes and keep the best: stop when one is good enough, or when the time is over. */
function bestFix(onBetter) {
  return new Promise((resolve, reject) => {
    let best = null;
    const stop = (end) => {
      navigator.geolocation.clearWatch(watch);
      clearTimeout(timer);
      end();
    };
    const settle = () => (best ? resolve(best) : reject({ code: 3 }));
    const watch = navigator.geolocation.watchPosition(
      ({ coords }) => {
        if (!best || coords.accuracy < best.accuracy) onBetter((best = coords));
        if (best.accuracy <= GOOD_ENOUGH_M) stop(settle);
      },
      (error) => stop(() => (best ? resolve(best) : reject(error))),
      { enableHighAccuracy: true, maximumAge: 0, timeout: LONG_ENOUGH_MS },
    );
    const timer = setTimeout(() => stop(settle), LONG_ENOUGH_MS);
  });
}

async function pickHere(form, says) {
  if (!navigator.geolocation) {
    says.textContent = REFUSALS[2];
    return;
  }
  says.textContent = say("Waiting for a fix…");
  // The browser's accuracy is the radius of 95 % confidence (W3C Geolocation, section "accuracy").
  const take = ({ latitude: lat, longitude: lon, accuracy }, isLast) => {
    fill(form, { lat, lon, accuracy, method: "device" });
    const metres = Math.ceil(accuracy);
    says.textContent = isLast
      ? say("Position taken, good to %(metres)s m.", { metres })
      : say("Position taken, good to %(metres)s m; waiting for a better one…", { metres });
  };
  try {
    take(await bestFix((coords) => take(coords, false)), true);
  } catch (error) {
    says.textContent = REFUSALS[error.code] ?? REFUSALS[2];
  }
}

async function pickOnMap(part, form, says) {
  const map = part.querySelector("[data-map=pick]");
  map.hidden = false;
  if (map.dataset.ready) return map.focus();
  says.textContent = say("Loading the map…");
  try {
    const { startPick } = await import(part.dataset.mapScript);
    startPick(map, (place) => {
      fill(form, { ...place, method: "map" });
      says.textContent = say("Place set from the map, good to about %(metres)s m at this zoom. Tap again to move it.", { metres: place.accuracy });
    });
    says.textContent = say("Tap the place, or move the map under the cross and press Enter.");
    map.focus();
  } catch {
    says.textContent = say("The map could not be loaded. Type a grid reference, or use your position.");
  }
  return undefined;
}

for (const part of document.querySelectorAll("[data-pick]")) {
  const form = part.closest("form");
  const says = part.querySelector("[data-pick-says]");
  const typed = form.querySelector('[data-position="text"]');
  typed?.closest(".field").after(part); // the buttons belong beside the field they fill
  part.hidden = false;
  part.querySelector("[data-pick-here]").addEventListener("click", () => pickHere(form, says));
  part.querySelector("[data-pick-map]")?.addEventListener("click", () => pickOnMap(part, form, says));
  // A typed reference is meant: the device's fix steps back.
  typed?.addEventListener("input", () => (says.textContent = ""));
}
