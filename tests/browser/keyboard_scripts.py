"""The scripts that keyboard.py runs in a page."""

# What the Tab key stops at, in the order of the document. Radio buttons are one stop: the chosen or the first.
STOPS = """
  const CAN = "a[href], button, input:not([type=hidden]), select, textarea, summary, iframe, audio[controls], " +
    "video[controls], [tabindex], [contenteditable=true]";
  const isShown = (node) => node.checkVisibility({ visibilityProperty: true });
  const can = [...document.querySelectorAll(CAN)].filter((node) => !node.matches(":disabled") && isShown(node));
  const radios = can.filter((node) => node.type === "radio");
  const group = ({ name, form }) => radios.filter((other) => other.name === name && other.form === form);
  const isStop = (node) => node.tabIndex >= 0 && (node.type !== "radio" || !node.name ||
    node === (group(node).find((each) => each.checked) ?? group(node)[0]));
  const stops = can.filter(isStop);
  const name = (node) => node.outerHTML.replace(/\\s+/g, " ").slice(0, 110);
"""

# `label` too: a tick that is drawn by its label shows the focus there.
LOOK = (
    """() => {"""
    + STOPS
    + """
  const first = document.activeElement.getAttribute?.("href") ?? document.activeElement.tagName;
  const faults = [];
  const say = (node, words) => faults.push(`${words}: ${name(node)}`);
  const drawn = (node) => [node, node.labels?.[0]].filter(Boolean).map((each) => {
    const { outlineStyle, outlineWidth, boxShadow, borderColor, backgroundColor } = getComputedStyle(each);
    return [outlineStyle === "none" ? "" : outlineStyle + outlineWidth, boxShadow, borderColor, backgroundColor].join();
  }).join();
  const isAt = (node, x, y) => {
    const top = document.elementFromPoint(x, y);
    return Boolean(top) && (node.contains(top) || top.contains(node) || top.closest("label")?.control === node);
  };
  const isSeen = (node) => [...node.getClientRects()].some(({ left, right, top, bottom }) => {
    const [west, east] = [Math.max(left, 0), Math.min(right, document.documentElement.clientWidth)];
    const [north, south] = [Math.max(top, 0), Math.min(bottom, innerHeight)];
    const along = (from, to) => [0.1, 0.5, 0.9].map((part) => from + (to - from) * part);
    return along(west, east).some((x) => along(north, south).some((y) => isAt(node, x, y)));
  });
  can.filter((node) => node.tabIndex > 0).forEach((node) => say(node, "a positive tabindex"));
  const unread = stops.filter((node) => node.closest("[aria-hidden=true], [inert]"));
  unread.forEach((node) => say(node, "hidden from readers"));
  const before = new Map(stops.map((node) => [node, node === document.activeElement ? null : drawn(node)]));
  for (const node of stops) {
    node.focus({ focusVisible: true });
    if (document.activeElement !== node) { say(node, "takes no focus"); continue; }
    if (before.get(node) === drawn(node)) say(node, "does not show that it has the focus");
    if (!isSeen(node)) say(node, "covered, or outside the window, while it has the focus");
  }
  return { first, faults };
}"""
)

RECORD = (
    """() => {"""
    + STOPS
    + """
  window.tabbed = [];
  addEventListener("focusin", ({ target }) => window.tabbed.push(name(target)));
  return stops.map(name);
}"""
)

SEEN = "window.tabbed"
