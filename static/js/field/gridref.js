/**
 * A grid reference without a network: the pack's fit of the grid round the site (field/grids.py says how it is written),
 * with no more figures than the position can bear, cut off and never rounded. Pure.
 */
import { known, UNKNOWN_M } from "./plane.js";
import { figure, say } from "./tongue.js";

const SQUARE_M = 100_000;
const SIZE_M = { 10: 1, 8: 10, 6: 100, 4: 1_000, 2: 10_000, 0: SQUARE_M };
const DEGREE_M = 111_200;
const MOST_DECIMALS = 7;

/** Metres east and north on a fitted grid: 1, u, v, u², uv, v² … by total degree. */
export function metresOn(grid, { lat, lon }) {
  const [u, v] = [(lon - grid.lon0) / grid.unit, (lat - grid.lat0) / grid.unit];
  let [east, north] = [grid.e0, grid.n0];
  for (let degree = 1, k = 0; k < grid.m[0].length; degree += 1) {
    for (let j = 0; j <= degree; j += 1, k += 1) {
      const term = u ** (degree - j) * v ** j;
      east += grid.m[0][k] * term;
      north += grid.m[1][k] * term;
    }
  }
  return [east, north];
}

/** How many figures: the finest square whose side is no less than the 95 % radius of receiver and grid together; -1 for none. */
export function figuresFor(accuracy, grid) {
  const total = Math.hypot(known(accuracy) ?? UNKNOWN_M, grid.accuracy_m);
  return [10, 8, 6, 4, 2, 0].find((figures) => SIZE_M[figures] >= total) ?? -1;
}

function written(position, grid) {
  const figures = figuresFor(position.accuracy_m, grid);
  const [east, north] = metresOn(grid, position);
  const letters = grid.squares[`${Math.floor(east / SQUARE_M)},${Math.floor(north / SQUARE_M)}`];
  if (!letters || figures < 0) return "";
  const inside = (metres) => String(Math.floor(((metres % SQUARE_M) + SQUARE_M) % SQUARE_M)).padStart(5, "0").slice(0, figures / 2);
  return figures ? `${letters} ${inside(east)} ${inside(north)}` : letters;
}

/** "53.7123, -0.1234", latitude first: the most decimals whose last step is no less than the 95 % radius. */
export function inDegrees({ lat, lon, accuracy_m: accuracy }) {
  const finest = Math.floor(Math.log10(DEGREE_M / (known(accuracy) ?? UNKNOWN_M)));
  const decimals = Math.max(0, Math.min(MOST_DECIMALS, finest));
  return `${lat.toFixed(decimals)}, ${lon.toFixed(decimals)}`;
}

/** "Good to 7 m": the accuracy in words, rounded so that it never says better. */
export function accuracyWords(accuracy) {
  const radius = known(accuracy);
  if (radius === null) return say("Your phone does not say how good this position is.");
  const metres = radius < 1 ? figure(radius, 1) : Math.ceil(radius - 1e-9);
  return say("Good to %(metres)s m (95 times in 100).", { metres });
}

/**
 * What to read out: `text` on the finest grid that holds here, or degrees far from the hunt's ground and where no grid is.
 * @param {{lat: number, lon: number, accuracy_m: number|null}} position
 * @param {object[]} grids of the pack, the finest first
 * @returns {{text: string, name: string, degrees: string, accuracy: string}}
 */
export function reference(position, grids = []) {
  const { lat, lon } = position;
  const holds = ({ box: [west, south, east, north] }) => lon >= west && lon <= east && lat >= south && lat <= north;
  const degrees = inDegrees(position);
  const accuracy = accuracyWords(position.accuracy_m);
  const grid = grids.filter(holds).sort((a, b) => a.worst_m - b.worst_m)[0];
  const text = grid ? written(position, grid) : "";
  return text ? { text, name: grid.name, degrees, accuracy } : { text: degrees, name: say("latitude, longitude"), degrees, accuracy };
}
