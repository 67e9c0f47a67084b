/** [data-sign-out]: signing out takes the hunt, land and people that the field page stored off this phone as well. */
const LONG_ENOUGH_MS = 1_500;

async function wipe() {
  const { forgetMe, resume } = await import("./field/session.js");
  if (await resume()) await forgetMe();
}

document.querySelector("[data-sign-out]")?.addEventListener("submit", (event) => {
  if (!localStorage.getItem("field-account")) return; // nothing of the field page is here
  event.preventDefault();
  const form = event.target;
  const late = new Promise((resolve) => setTimeout(resolve, LONG_ENOUGH_MS));
  Promise.race([wipe().catch(() => {}), late]).then(() => form.submit());
});
