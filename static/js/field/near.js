/** How far it is to the boundary, to no-go ground and to one's own lane, allowing for how well the position is known. Pure. */
import { compass, holds, isTorn, known, nearest, planeAt, UNKNOWN_M } from "./plane.js";
import { figure, say } from "./tongue.js";

/** Warned this far before the line, beyond what the accuracy asks: some steps of a person who looks at the ground. */
export const NEAR_M = 10;
const UNKNOWN = { level: "unknown", state: "unknown", words: say("Where you are is not known yet."), lines: [] };
const LEVELS = ["unknown", "fine", "near", "warn", "stop"];

/** "8 m", "1.2 km"; below one metre no figure is meant. */
export function inMetres(metres) {
  if (metres < 1) return say("less than 1 m");
  return metres < 995 ? `${Math.round(metres)} m` : `${figure(metres / 1000, 1)} km`;
}

/** Signed metres to a polygon's edge, negative inside, and the way there; null where there is none to measure. */
export function edgeOf(plane, geometry) {
  const edge = geometry && !isTorn(geometry) ? nearest(plane, geometry) : null;
  if (!edge) return null;
  const inside = holds(plane, geometry);
  return { metres: inside ? -edge.metres : edge.metres, direction: compass(edge.toward), toward: edge.toward };
}

/** In or out with 95 % certainty, or neither; the server (geo/inside.py) never judges a stored hole the other way. */
export function standing(metres, accuracy) {
  if (metres > accuracy) return "outside";
  if (metres > -accuracy) return "may be outside";
  return metres > -accuracy - NEAR_M ? "near the edge" : "inside";
}

const unsure = (accuracy) => say("your position is only good to %(far)s", { far: inMetres(accuracy) });

function boundaryLine({ label, edge, accuracy }) {
  const { metres, direction } = edge;
  const state = standing(metres, accuracy);
  const values = { label, far: inMetres(Math.abs(metres)), direction, unsure: unsure(accuracy) };
  const words = {
    outside: say("Outside %(label)s. Do not search here: it lies %(far)s to the %(direction)s.", values),
    "may be outside": say("You may be outside %(label)s: its edge is %(far)s to the %(direction)s and %(unsure)s.", values),
    "near the edge": say("Near the edge of %(label)s: %(far)s to the %(direction)s.", values),
    inside: say("Inside %(label)s; its edge is %(far)s to the %(direction)s.", values),
  }[state];
  const level = { outside: "stop", "may be outside": "warn", "near the edge": "near", inside: "fine" }[state];
  return { about: "boundary", label, state, level, metres, direction, words };
}

function noGoLine({ label, edge, accuracy }) {
  const { metres, direction } = edge;
  const values = { label, far: inMetres(Math.abs(metres)), direction, unsure: unsure(accuracy) };
  const state = { inside: "in it", "near the edge": "in it", "may be outside": "may be in it" }[standing(metres, accuracy)]
    ?? (metres < accuracy + NEAR_M ? "close to it" : "clear of it");
  const words = {
    "in it": say("In no-go ground (%(label)s). Do not search here: the way out is %(far)s to the %(direction)s.", values),
    "may be in it": say("You may be in no-go ground (%(label)s): its edge is %(far)s to the %(direction)s and %(unsure)s.", values),
    "close to it": say("Close to no-go ground (%(label)s): %(far)s to the %(direction)s.", values),
    "clear of it": say("No-go ground (%(label)s): %(far)s to the %(direction)s.", values),
  }[state];
  const level = { "in it": "stop", "may be in it": "warn", "close to it": "near", "clear of it": "fine" }[state];
  return { about: "no-go", label, state, level, metres, direction, words };
}

function laneLine(plane, { lanes = [], swath_m: swath = 0 }, accuracy) {
  const found = lanes
    .filter(({ mine, line }) => mine && line && !isTorn(line))
    .map(({ site, label, line }) => ({ label: `${label}${site ? `, ${site}` : ""}`, ...nearest(plane, line) }))
    .filter(({ toward }) => toward)
    .reduce((best, each) => (best && best.metres <= each.metres ? best : each), null);
  if (!found) return [];
  const [{ label, metres }, direction, on] = [found, compass(found.toward), found.metres <= swath / 2];
  const values = { label, far: inMetres(metres), direction, unsure: unsure(accuracy) };
  const sure = on ? say("Your lane %(label)s: on it.", values) : say("Your lane %(label)s: %(far)s off it; it lies to the %(direction)s.", values);
  const open = on ? say("Your lane %(label)s: on it, but %(unsure)s.", values) : say("Your lane %(label)s: %(far)s off it; it lies to the %(direction)s, but %(unsure)s.", values);
  const words = metres < accuracy ? open : sure;
  return [{ about: "lane", label, state: on ? "on it" : "off it", level: "fine", metres, direction, words }];
}

/**
 * Where a position lies on the pack's ground.
 * @param {{lat: number, lon: number, accuracy_m: number|null}|null} position
 * @param {{sites: object[], lanes?: object[], swath_m?: number}} pack
 * @returns {{level: "unknown"|"fine"|"near"|"warn"|"stop", state: string, words: string, lines: object[]}} the gravest first;
 *   `state` is that of the site one is in or nearest to; metres are signed, negative inside
 */
export function near(position, pack) {
  if (!position) return UNKNOWN;
  const plane = planeAt(position);
  const accuracy = known(position.accuracy_m) ?? UNKNOWN_M;
  const measured = (label, geometry) => ({ label, accuracy, edge: edgeOf(plane, geometry) });
  const here = pack.sites.map((site) => measured(site.code, site.boundary)).filter(({ edge }) => edge)
    .reduce((best, each) => (best && best.edge.metres <= each.edge.metres ? best : each), null);
  const boundary = here ? [boundaryLine(here)] : [];
  const noGo = pack.sites.flatMap((site) => site.no_go ?? []).map(({ label, geometry }) => measured(label, geometry))
    .filter(({ edge }) => edge).map(noGoLine).sort((a, b) => a.metres - b.metres);
  const lines = [...boundary, ...noGo].sort((a, b) => LEVELS.indexOf(b.level) - LEVELS.indexOf(a.level));
  if (!here) return { ...UNKNOWN, words: say("No boundary is stored on this phone that can be measured."), lines };
  return { level: lines[0].level, state: boundary[0].state, words: lines[0].words, lines: [...lines, ...laneLine(plane, pack, accuracy)] };
}
