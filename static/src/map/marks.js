/** Marks for points: each kind has its own shape, drawn the same in any colour scheme. */
import CircleMark from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import RegularShape from "ol/style/RegularShape.js";
import Stroke from "ol/style/Stroke.js";

const STAYS = { declutterMode: "none" }; // words make room for each other; marks never vanish
const outline = (colour, width = 2) => new Stroke({ color: colour, width });
const fill = (colour) => new Fill({ color: colour });

/** A mark for each kind of point, in the colours given. */
export function marksOf(ink) {
  const square = { points: 4, angle: Math.PI / 4 };
  return {
    // a filled hole is a filled disc; an open one is an open ring with a heavy edge
    hole: new CircleMark({ ...STAYS, radius: 5, fill: fill(ink.moss), stroke: outline(ink.sheet, 1.5) }),
    "hole-dug": new CircleMark({ ...STAYS, radius: 6, fill: fill(ink.sheet), stroke: outline(ink.madder, 3) }),
    find: new RegularShape({ ...STAYS, points: 4, radius: 9, fill: fill(ink.clay), stroke: outline(ink.sheet, 1.5) }),
    gate: new RegularShape({ ...STAYS, points: 3, radius: 9, fill: fill(ink.ink), stroke: outline(ink.sheet, 1.5) }),
    "no-go": new RegularShape({ ...STAYS, points: 4, radius: 8, radius2: 0, angle: Math.PI / 4, stroke: outline(ink.madder, 3) }),
    protected: new RegularShape({ ...STAYS, points: 6, radius: 8, fill: fill(ink.sheet), stroke: outline(ink.madder, 3) }),
    place: new RegularShape({ ...STAYS, ...square, radius: 7, fill: fill(ink.ink), stroke: outline(ink.sheet, 1.5) }),
  };
}
