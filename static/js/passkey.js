/** [data-passkey]: shown where the browser knows passkeys; what goes wrong with one is said in [data-passkey-error]. */
import { say } from "./field/tongue.js";

const WORDS = {
  NotAllowedError: say("No passkey was used: it was put aside, took too long, or there is none for this site on this device. Try again, or go on another way."),
  InvalidStateError: say("This device holds a passkey of this account already."),
  SecurityError: say("Passkeys need the site’s own address over HTTPS; this one does not do."),
};
const OTHER = say("That did not work. Nothing was changed; try again, or go on another way.");

if (window.PublicKeyCredential) {
  document.querySelectorAll("[data-passkey]").forEach((node) => node.removeAttribute("hidden"));
  document.querySelectorAll("[data-no-passkey]").forEach((node) => node.setAttribute("hidden", ""));
}

document.addEventListener("allauth.error", (event) => {
  event.preventDefault(); // said below, and to nobody's console
  const place = document.querySelector("[data-passkey-error]");
  if (!place) return;
  place.textContent = WORDS[event.detail.exception?.name] ?? OTHER;
  place.hidden = false;
});
