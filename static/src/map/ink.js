/** Colours for the canvas, taken from the style sheet's tokens, so that dark mode and print agree with the page. */
const NAMES = ["paper", "sheet", "ink", "muted", "line", "edge", "clay", "moss", "straw", "madder"];

/** The tokens as colours the canvas can use, resolved in the place of `element`. */
export function inkOf(element) {
  const probe = element.appendChild(document.createElement("span"));
  probe.hidden = true;
  const colours = {};
  for (const name of NAMES) {
    probe.style.color = `var(--${name})`;
    colours[name] = getComputedStyle(probe).color;
  }
  probe.remove();
  return colours;
}

/** The same colour with another opacity (0 to 1). */
export function thin(colour, opacity) {
  const parts = colour.match(/[\d.]+/g).slice(0, 3);
  return `rgba(${parts.join(", ")}, ${opacity})`;
}

/** Call `repaint` whenever the reader changes between light and dark. */
export function onSchemeChange(repaint) {
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", repaint);
}
