/** Hand a file to the person: the phone asks where to keep it. */
import { el } from "./dom.js";

export function hand(content, name) {
  const blob = content instanceof Blob ? content : new Blob([JSON.stringify(content, null, 1)], { type: "application/json" });
  const url = URL.createObjectURL(blob);
  const link = el("a", { href: url, download: name, hidden: true }, name);
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60_000); // some browsers read it only after the question where to
}
