/** Where I am: the grid reference in the largest letters, how good it is, the edge, no-go ground and my lane, and a picture. */
import { el, notice } from "../dom.js";
import { startFix } from "../fix.js";
import { reference } from "../gridref.js";
import { near } from "../near.js";
import { picture } from "../picture.js";
import { say } from "../tongue.js";

export const title = say("Where I am");

const KINDS = { stop: "error", warn: "late", near: "caution" };
/** A picture and a list that change with every fix cannot be read; this often they may. */
const REDRAW_MS = 3_000;

/** What is told of the ground: the grave lines as notices, the others as a list. */
function told({ words, lines }) {
  if (!lines.length) return [el("p", {}, words)];
  const grave = lines.filter(({ level }) => KINDS[level]);
  const plain = lines.filter(({ level }) => !KINDS[level]);
  return [...grave.map((line) => notice(KINDS[line.level], line.words)), el("ul", { class: "plain-list" }, plain.map((line) => el("li", {}, line.words)))];
}

const STILL = say("Stand still in the open for some minutes: it may get better.");
const KEY = say("Thick line: boundary. Hatched: no-go ground. Plain lines: your lanes, the nearest of many; broken ones: other lanes. Cross: you, with the circle of your accuracy.");

export function show(root, { pack }) {
  const place = el("p", { class: "ref" }, say("Waiting for a position…"));
  const says = el("p", {});
  const alarm = el("p", { class: "visually-hidden", role: "status" });
  const quality = el("p", { class: "muted", "data-fix": "" });
  const ground = el("section", { "aria-label": say("The ground round you") });
  const image = el("figure", {});
  let last = { level: "", drawn: -Infinity };

  const draw = (position) => {
    const said = near(position, pack);
    if (said.level !== last.level) alarm.textContent = said.level === "unknown" ? "" : said.words; // read aloud only when it changes
    const due = Date.now() - last.drawn >= REDRAW_MS;
    if (!due && said.level === last.level) return;
    last = { level: said.level, drawn: Date.now() };
    ground.replaceChildren(...told(said));
    const drawing = picture(position, pack);
    image.replaceChildren(...(drawing ? [drawing, el("figcaption", { class: "muted" }, KEY)] : []));
  };

  const fix = startFix(({ position, words, state }) => {
    quality.textContent = state === "taking" && position ? STILL : words;
    if (!position) return;
    const { text, name, degrees, accuracy } = reference(position, pack?.grids ?? []);
    place.textContent = text;
    says.textContent = text === degrees ? `${say("Latitude, longitude.")} ${accuracy}` : `${name}. ${accuracy} ${say("Latitude, longitude: %(degrees)s.", { degrees })}`;
    if (pack) draw(position);
  });
  root.append(el("div", { class: "card" }, place, says), alarm, quality, ground, image);
  return () => fix.stop();
}
