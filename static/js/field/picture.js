/**
 * A plain picture of the ground round a position: boundary, no-go ground, lanes, and me with the circle of my accuracy.
 * No tiles. Told apart by line and hatching, in the page's own ink, so that dark, print and colour-blind eyes lose nothing.
 * All of it stands in words beside it, so it is hidden from readers of the screen.
 */
import { isTorn, known, nearest, pathsOf, planeAt, UNKNOWN_M } from "./plane.js";

const SVG = "http://www.w3.org/2000/svg";
const SIZE = 320; // units of the drawing
const FOOT = 30; // below it, for the scale and the arrow
const MARGIN_M = 15;
const MOST_LANES = 40; // more would run together into one grey
const SCALES_M = [5, 10, 20, 50, 100, 200, 500, 1000];

function tag(name, attributes, ...children) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  node.append(...children);
  return node;
}

const closed = (geometry) => geometry.type.includes("Polygon");

/** Path data of a geometry, north up. */
function pathData(geometry, place) {
  const one = (path) => path.map((each) => place(each).map((value) => value.toFixed(1)).join(" ")).join("L");
  return pathsOf(geometry).map((path) => `M${one(path)}${closed(geometry) ? "Z" : ""}`).join("");
}

function hatching() {
  const line = tag("path", { d: "M0 0V6", stroke: "currentColor", "stroke-width": 1.5 });
  return tag("defs", {}, tag("pattern", { id: "hatch", width: 6, height: 6, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, line));
}

const line = (width, more = {}) => ({ fill: "none", stroke: "currentColor", "stroke-width": width, "stroke-linejoin": "round", ...more });

/** A cross on clear paper where I am, and the circle in which I am 95 times in 100. */
function me([x, y], radius) {
  return tag("g", line(3),
    tag("circle", { cx: x, cy: y, r: Math.max(radius, 2), "stroke-width": 1.5, "stroke-dasharray": "2 3" }),
    tag("circle", { cx: x, cy: y, r: 12, fill: "var(--paper)", stroke: "none" }),
    tag("path", { d: `M${x - 11} ${y}h22M${x} ${y - 11}v22` }), tag("circle", { cx: x, cy: y, r: 6 }));
}

/** The lanes that can be told apart: all, or the nearest of one's own. */
function drawable(plane, lanes) {
  const sound = lanes.filter(({ line: lane }) => lane && !isTorn(lane));
  if (sound.length <= MOST_LANES) return sound;
  const own = sound.filter(({ mine }) => mine).map((lane) => [nearest(plane, lane.line)?.metres ?? Infinity, lane]);
  return own.sort(([a], [b]) => a - b).slice(0, MOST_LANES / 4).map(([, lane]) => lane);
}

/** Below the picture: a bar of a round number of metres, and where north is. */
function furniture(perMetre) {
  const metres = SCALES_M.filter((each) => each * perMetre <= SIZE / 2).at(-1) ?? SCALES_M[0];
  const [foot, end] = [SIZE + FOOT - 6, 8 + metres * perMetre];
  return tag("g", { fill: "currentColor", "font-size": 15 },
    tag("path", { d: `M8 ${foot - 6}v6H${end}v-6`, ...line(2) }), tag("text", { x: end + 8, y: foot }, `${metres} m`),
    tag("path", { d: `M${SIZE - 32} ${foot}v-22m-6 8l6 -8l6 8`, ...line(2) }), tag("text", { x: SIZE - 20, y: foot }, "N"));
}

/** West, south, east, north in metres of what is to be seen: the site that is nearest, and me. */
function windowOf(plane, sites, reach) {
  const around = sites.map((site) => {
    const flat = pathsOf(site.boundary).flat().map(plane);
    const [xs, ys] = [flat.map(([x]) => x), flat.map(([, y]) => y)];
    const low = (values) => values.reduce((a, b) => Math.min(a, b), Infinity);
    return [low(xs), low(ys), -low(xs.map((x) => -x)), -low(ys.map((y) => -y))];
  });
  const away = ([west, south, east, north]) => Math.hypot(Math.max(west, -east, 0), Math.max(south, -north, 0));
  const [west, south, east, north] = around.reduce((best, each) => (away(best) <= away(each) ? best : each));
  return [Math.min(west, -reach) - MARGIN_M, Math.min(south, -reach) - MARGIN_M, Math.max(east, reach) + MARGIN_M, Math.max(north, reach) + MARGIN_M];
}

/**
 * @param {{lat: number, lon: number, accuracy_m: number|null}} position
 * @param {{sites: object[], lanes?: object[]}} pack
 * @returns {SVGElement|null} null where there is no boundary to draw
 */
export function picture(position, { sites = [], lanes = [] }) {
  const drawn = sites.filter(({ boundary }) => boundary && pathsOf(boundary).length && !isTorn(boundary));
  if (!drawn.length) return null;
  const plane = planeAt(position);
  const accuracy = known(position.accuracy_m) ?? UNKNOWN_M;
  const [west, south, east, north] = windowOf(plane, drawn, accuracy);
  const perMetre = SIZE / Math.max(east - west, north - south);
  const at = ([x, y]) => [(x - (west + east) / 2) * perMetre + SIZE / 2, SIZE / 2 - (y - (south + north) / 2) * perMetre];
  const path = (geometry, look) => tag("path", { d: pathData(geometry, (each) => at(plane(each))), "fill-rule": "evenodd", ...look });
  const noGo = drawn.flatMap((site) => site.no_go ?? []).filter(({ geometry }) => geometry && !isTorn(geometry));
  const walked = drawable(plane, lanes);
  return tag("svg", { viewBox: `0 0 ${SIZE} ${SIZE + FOOT}`, "aria-hidden": "true", focusable: "false", class: "ground" },
    hatching(),
    ...walked.filter(({ mine }) => !mine).map((lane) => path(lane.line, line(0.5, { "stroke-dasharray": "3 3" }))),
    ...walked.filter(({ mine }) => mine).map((lane) => path(lane.line, line(1.8))),
    ...noGo.map(({ geometry }) => path(geometry, line(1, { fill: "url(#hatch)" }))),
    ...drawn.map(({ boundary }) => path(boundary, line(2.5))),
    me(at([0, 0]), accuracy * perMetre), furniture(perMetre));
}
