/** What the browser's geolocation says, as plain numbers on this device's own clock (W3C Geolocation). */
import { known } from "./plane.js";

/**
 * A reader of fixes: `{lat, lon, accuracy_m, at_s}`, or null where one holds no place. Some devices stamp a fix by the
 * satellites' clock and not by their own; the freshest one so far tells how far the two are apart, and every time comes
 * back by the device's clock, so that an offset to the server's holds for it as for everything else.
 * @param {() => number} now milliseconds by the device
 */
export function reader(now) {
  let apart = Infinity;
  return ({ coords = {}, timestamp } = {}) => {
    const { latitude: lat, longitude: lon } = coords;
    if (!(Math.abs(lat) <= 90) || !(Math.abs(lon) <= 180)) return null;
    const stamped = Number.isFinite(timestamp) && timestamp > 0;
    if (stamped) apart = Math.min(apart, now() - timestamp);
    return { lat, lon, accuracy_m: known(coords.accuracy), at_s: (stamped ? timestamp + apart : now()) / 1000 };
  };
}
