/** Canvas patterns: status and ground are told apart by pattern as well as by colour. */
import { thin } from "./ink.js";

const SIZE = 12;

function tile(draw) {
  const ratio = window.devicePixelRatio || 1;
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = Math.round(SIZE * ratio);
  const context = canvas.getContext("2d");
  context.scale(canvas.width / SIZE, canvas.height / SIZE);
  draw(context);
  return context.createPattern(canvas, "repeat");
}

function stroke(context, colour, width, lines) {
  context.strokeStyle = colour;
  context.lineWidth = width;
  context.beginPath();
  for (const [x1, y1, x2, y2] of lines) {
    context.moveTo(x1, y1);
    context.lineTo(x2, y2);
  }
  context.stroke();
}

const RISING = [[0, SIZE, SIZE, 0], [-2, 2, 2, -2], [SIZE - 2, SIZE + 2, SIZE + 2, SIZE - 2]];
const FALLING = RISING.map(([x1, y1, x2, y2]) => [SIZE - x1, y1, SIZE - x2, y2]);

/** Slanted lines: ground where the gate is shut. */
export const slant = (colour) => tile((context) => stroke(context, thin(colour, 0.55), 1.4, RISING));

/** Crossed lines: no-go ground. */
export const crossed = (colour) => tile((context) => stroke(context, colour, 1.6, [...RISING, ...FALLING]));

/** Dots: ground to ask about, and woodland in a larger grain. */
export const dots = (colour, radius = 1.2) => tile((context) => {
  context.fillStyle = thin(colour, 0.7);
  for (const [x, y] of [[3, 3], [9, 9]]) {
    context.beginPath();
    context.arc(x, y, radius, 0, 2 * Math.PI);
    context.fill();
  }
});
