/**
 * What this page says, in its language. The English text is the key; the page brings the others as JSON (`data-said`), so
 * that words and page are one version also without a network. Where none came, the English stands.
 */
const page = globalThis.document;
const TABLE = Object.assign({}, ...[...(page?.querySelectorAll("script[data-said]") ?? [])].map((block) => JSON.parse(block.textContent)));

/** The page's language as a tag (BCP 47), for dates and numbers. */
export const LANGUAGE = page?.documentElement.lang || "en-GB";
const plural = new Intl.PluralRules(LANGUAGE);

const filled = (text, values) => text.replace(/%\((\w+)\)s/g, (whole, name) => values[name] ?? whole);

/** A text with its values: those of "Find: %(what)s" are `{ what }`. Texts stand in the call itself: tools/messages.py collects them. */
export function say(text, values = {}) {
  return filled(TABLE[text] ?? text, values);
}

/** The same for one and for many; `%(count)s` is the number. */
export function sayMany(one, many, count, values = {}) {
  const forms = TABLE[one] ?? [one, many];
  return filled(plural.select(count) === "one" ? forms[0] : forms[1], { count, ...values });
}

/** With a capital at the front. */
export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** A number with so many decimals, with the language's own mark before them. */
export function figure(value, decimals) {
  return value.toLocaleString(LANGUAGE, { minimumFractionDigits: decimals, maximumFractionDigits: decimals, useGrouping: false });
}
