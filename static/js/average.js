/** [data-average]: take fixes for half a minute and write them into the position field, a line each with accuracy and time. */
import { say, sayMany } from "./field/tongue.js";

const LONG_ENOUGH_MS = 30_000;
const EVERY_MS = 3_000;
const MOST_LINES = 20; // as many readings as the field takes

const REFUSALS = {
  1: say("Your browser does not let this page see your position. Allow it for this page, or type the readings, one a line."),
  2: say("Your position cannot be had just now. Step into the open and try again, or type the readings, one a line."),
  3: say("No fix came within 30 seconds. Step into the open and try again, or type the readings, one a line."),
};

/** A reading as the server reads it; the browser's accuracy is the radius of 95 % confidence (W3C Geolocation). */
function line({ coords, timestamp }) {
  const place = `${coords.latitude.toFixed(7)}, ${coords.longitude.toFixed(7)}`;
  const time = new Date(timestamp).toTimeString().slice(0, 8);
  return `${place} ±${Math.max(coords.accuracy, 0.1).toFixed(1)} m at ${time}`;
}

function listen(onFix, onEnd) {
  let last = -Infinity;
  let taken = 0;
  let failed = 3;
  const stop = (code) => {
    navigator.geolocation.clearWatch(watch);
    clearTimeout(timer);
    onEnd(taken, code);
  };
  const watch = navigator.geolocation.watchPosition(
    (fix) => {
      if (fix.timestamp - last < EVERY_MS) return;
      last = fix.timestamp;
      taken += 1;
      onFix(fix, taken);
    },
    (error) => {
      failed = error.code; // a fix may be lost and found again; only a refusal is final
      if (failed === 1) stop(failed);
    },
    { enableHighAccuracy: true, maximumAge: 0, timeout: LONG_ENOUGH_MS },
  );
  const timer = setTimeout(() => stop(failed), LONG_ENOUGH_MS);
  return () => stop(0);
}

function start(button, form, says) {
  const field = form.querySelector('[data-position="text"]');
  if (!navigator.geolocation) {
    says.textContent = REFUSALS[2];
    return null;
  }
  const label = button.textContent;
  button.textContent = say("Stop and keep these readings");
  says.textContent = say("Hold the phone still over the spot. A reading is taken every 3 seconds for 30 seconds…");
  return listen(
    (fix, taken) => {
      const lines = field.value.split("\n").filter((each) => each.trim());
      if (lines.length < MOST_LINES) field.value = [...lines, line(fix)].join("\n");
      field.rows = Math.min(8, lines.length + 2);
      says.textContent = say("Reading %(number)s, good to %(metres)s m…", { number: taken, metres: Math.ceil(fix.coords.accuracy) });
    },
    (taken, code) => {
      button.textContent = label;
      const some = sayMany("%(count)s reading is in the field; they are averaged when you save.",
        "%(count)s readings are in the field; they are averaged when you save.", taken) +
        ` ${say("Readings some minutes apart are worth more: press again later.")}`;
      says.textContent = taken ? some : (REFUSALS[code] ?? say("Stopped before a reading came."));
      button.dispatchEvent(new Event("readings-end"));
    },
  );
}

for (const button of document.querySelectorAll("[data-average]")) {
  const form = button.closest("form");
  const says = form.querySelector("[data-pick-says]");
  // A field of one line takes one reading.
  if (form.querySelector('[data-position="text"]')?.tagName !== "TEXTAREA") continue;
  let stop = null;
  button.addEventListener("readings-end", () => (stop = null));
  button.addEventListener("click", () => {
    if (stop) return stop();
    // The typed lines count: what the device or the map filled in before steps back.
    for (const name of ["lat", "lon", "accuracy", "method"]) {
      const hidden = form.querySelector(`[data-position="${name}"]`);
      if (hidden) hidden.value = "";
    }
    return (stop = start(button, form, says));
  });
  button.hidden = false;
}
