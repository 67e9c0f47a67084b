/** Where: fills by itself while the person digs; a refusal says what to do and never stops a record. */
import { button, el, notice } from "./dom.js";
import { startFix } from "./fix.js";
import { accuracyWords } from "./gridref.js";
import { near } from "./near.js";
import { words } from "./parts.js";
import { say } from "./tongue.js";

/**
 * A part of a form for one place. `kept`: the place of a record that is being changed, which stays until it is taken again.
 * @returns {{node: HTMLElement, value: () => {position: object|null, text: string}, start: () => void, stop: () => void}}
 */
export function place(pack, { kept = null, text = "", label = say("Where") } = {}) {
  const says = el("p", { role: "status", "data-fix": "" });
  const edge = el("div", { "aria-live": "off" });
  const typed = words("place_text", say("Or where, in words or as a grid reference"), { value: text, most: 200 });
  let fix = null;
  let shown = "";

  const show = ({ position, good, words: told }) => {
    if (told !== shown) says.textContent = shown = told; // only what is new is read aloud
    says.classList.toggle("good", Boolean(good));
    const { level, words: said } = near(position, pack);
    const alarm = ["near", "warn", "stop"].includes(level) ? said : "";
    edge.setAttribute("aria-live", level === edge.dataset.level ? "off" : "assertive"); // metres alone are not read out
    edge.dataset.level = level;
    if (edge.textContent !== alarm) edge.replaceChildren(...(alarm ? [notice("late", alarm)] : []));
  };
  const start = () => {
    again.hidden = true;
    fix ??= startFix(show);
  };
  const stop = () => {
    fix?.stop();
    fix = null;
  };
  const again = button(say("Take the place again, here"), start, "quiet");
  if (kept) says.textContent = `${say("The place that was taken stays.")} ${accuracyWords(kept.accuracy_m)}`;
  again.hidden = !kept;

  const value = () => ({ position: fix?.best() ?? kept, text: typed.querySelector("input").value.trim() });
  const more = el("details", { open: Boolean(text) }, el("summary", {}, say("No position, or a wrong one?")), typed);
  return { node: el("section", { class: "place", "aria-label": label }, says, edge, again, more), value, start, stop };
}
