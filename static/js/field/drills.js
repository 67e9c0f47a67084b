/** The drills as the page itself brings them, for a phone without a pack. */
export const usual = () => [...document.querySelectorAll("template[data-drill]")].map(({ dataset, content }) => ({
  kind: dataset.drill,
  title: dataset.title,
  at_once: dataset.first,
  steps: [...content.querySelectorAll("li")].map((step) => step.textContent),
}));
