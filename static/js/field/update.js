/** The worker that makes the page open without a network; a newer one takes over only where nothing is being typed. */
import { say } from "./tongue.js";

let stale = false; // a newer worker took over: load the page afresh at the next quiet moment
let registration = null;
let quiet = () => true;

/** Nothing is being typed now: let a newer worker that waits take over, or load its page. */
export function settle() {
  if (!quiet()) return;
  if (stale) location.reload();
  else registration?.waiting?.postMessage("take over");
}

/** Register `/field/sw.js`. `isQuiet` says whether the page may be loaded afresh just now. */
export async function start(base, isQuiet) {
  if (!("serviceWorker" in navigator)) return say("This browser cannot keep the page for use without signal. Use another browser, or keep the page open.");
  quiet = isQuiet;
  let had = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    stale = had; // not by the first worker of all: this page is its own
    had = true;
    if (stale) settle();
  });
  try {
    registration = await navigator.serviceWorker.register(`${base}sw.js`, { scope: base, updateViaCache: "none" });
  } catch {
    return navigator.serviceWorker.controller ? "" : say("The page could not be kept for use without signal. Load it again while there is signal.");
  }
  registration.addEventListener("updatefound", () => {
    const next = registration.installing;
    if (!next) settle(); // installed before this was told of it
    next?.addEventListener("statechange", () => next.state === "installed" && settle());
  });
  settle();
  return "";
}
