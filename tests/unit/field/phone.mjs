/** Answer calls to the phone's pure modules, a line of JSON each: {module, name, args} in, {value} or {error} out. */
import { createInterface } from "node:readline";

const FIELD = new URL("../../../static/js/field/", import.meta.url);

/**
 * A device whose fixes, faults and clock are played from a list of events: {at_s, lat, lon, accuracy, stamped_s?},
 * {at_s, code}, {at_s, hidden} or {at_s, stop}.
 */
function played(events, start) {
  const told = [];
  const page = new EventTarget();
  const device = { now: 0, left: 0, options: null, calls: null };
  const geolocation = {
    watchPosition: (onFix, onFault, options) => Object.assign(device, { calls: { onFix, onFault }, options }) && 7,
    clearWatch: (id) => (device.left = id),
  };
  page.visibilityState = "visible";
  const running = start(told, { geolocation, now: () => device.now * 1000, page });
  for (const { at_s: at, stamped_s: stamped = at, code, lat, lon, accuracy, hidden, stop } of events) {
    device.now = at;
    const coords = { latitude: lat, longitude: lon, accuracy };
    if (stop) running.stop();
    else if (hidden !== undefined) {
      page.visibilityState = hidden ? "hidden" : "visible";
      page.dispatchEvent(new Event("visibilitychange"));
    } else if (code) device.calls.onFault({ code });
    else device.calls.onFix({ coords, timestamp: stamped * 1000 });
  }
  return { told, device, best: running.best?.(), words: running.words?.() };
}

const modules = {
  played: {
    fixes: async (events) => {
      const { startFix } = await import(new URL("fix.js", FIELD));
      return played(events, (told, means) => startFix((each) => told.push(each), means));
    },
    walk: async (events) => {
      const { startTrack } = await import(new URL("track.js", FIELD));
      return played(events, (told, means) => startTrack((each) => told.push(each), means));
    },
    without: async () => {
      const { startFix } = await import(new URL("fix.js", FIELD));
      const told = [];
      startFix((each) => told.push(each), { geolocation: null }).stop();
      return told;
    },
    edge: async (place, geometry) => {
      const [{ planeAt }, { edgeOf }] = [await import(new URL("plane.js", FIELD)), await import(new URL("near.js", FIELD))];
      return edgeOf(planeAt(place), geometry);
    },
  },
  map: {
    ranks: async (features) => {
      const { rankOf } = await import(new URL("../../src/map/kinds.js", FIELD));
      return features.map((row) => rankOf({ get: (name) => row[name] }));
    },
  },
};

for await (const line of createInterface({ input: process.stdin })) {
  const { module, name, args } = JSON.parse(line);
  try {
    modules[module] ??= await import(new URL(`${module}.js`, FIELD));
    console.log(JSON.stringify({ value: await modules[module][name](...args) }));
  } catch (error) {
    console.log(JSON.stringify({ error: String(error.stack) }));
  }
}
