/** A form marked data-once is sent once: after the first sending its buttons rest until the page is left or shown again. */
const LABEL = document.body.dataset.sending ?? "";

function rest(form) {
  for (const button of form.querySelectorAll("button:not([type=button])")) {
    button.dataset.label = button.textContent;
    button.setAttribute("aria-disabled", "true");
    button.textContent = LABEL || button.textContent;
  }
}

function wake(form) {
  delete form.dataset.sent;
  for (const button of form.querySelectorAll("button[data-label]")) {
    button.textContent = button.dataset.label;
    button.removeAttribute("aria-disabled");
    delete button.dataset.label;
  }
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("[data-once]")) return;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  // After this turn, so that the pressed button's own name and value still travel with the form.
  setTimeout(() => rest(form), 0);
});

// The back button may bring the page out of the browser's memory with everything still at rest.
window.addEventListener("pageshow", (event) => {
  if (event.persisted) document.querySelectorAll("form[data-once]").forEach(wake);
});

// Errors first: a reader of the screen and the keyboard both land on the summary.
document.querySelector(".error-summary")?.focus();
