"""How each thing on a printed map looks: told apart by shape first, so that grey paper loses nothing."""

from collections.abc import Sequence

from geo.svgframe import CLAY, INK, LINE, PAPER, Frame, tag
from geo.svglayers import Ground, HoleMark, Mark

_NONE = "none"


def patterns(unit: float) -> str:
    """The fills that need a pattern: hatching for no-go ground, crowns for woods, dots for ground covered."""
    hatch = tag("path", d="M0 0V8", stroke=INK, stroke_width=1.4)
    crown = tag("circle", cx=4.0, cy=4.0, r=2.2, fill=_NONE, stroke="#7d8a6a", stroke_width=0.9)
    dot = tag("circle", cx=2.0, cy=2.0, r=0.7, fill=LINE)
    return "".join(
        tag(
            "pattern",
            body,
            id=name,
            width=size,
            height=size,
            patternUnits="userSpaceOnUse",
            patternTransform=turn,
        )
        for name, size, body, turn in (
            ("no-go", 8, hatch, f"scale({unit:.2f}) rotate(45)"),
            ("wood", 8, crown, f"scale({unit:.2f})"),
            ("covered", 5, dot, f"scale({unit:.2f})"),
        )
    )


def ground(d: str, kind: Ground, unit: float) -> str:
    """One background feature along path data `d`."""
    if kind is Ground.TRACK:  # two edges: a wide dark line under a narrower pale one
        return _line(d, LINE, 4.2 * unit) + _line(d, PAPER, 2.6 * unit)
    if kind is Ground.HEDGE:
        beads = f"{0.1 * unit:.2f} {3.6 * unit:.2f}"
        return _line(d, "#6f7d58", 2.6 * unit, stroke_dasharray=beads, stroke_linecap="round")
    if kind is Ground.BECK:
        return _line(d, "#6e8ea3", 2.0 * unit)
    fill = "url(#wood)" if kind is Ground.WOOD else "#9a938a"
    return tag("path", d=d, fill=fill, fill_rule="evenodd", stroke=LINE, stroke_width=0.8 * unit)


def area(d: str, fill: str, edge: float, unit: float) -> str:
    """A site, no-go or covered area; an edge of 0 draws none."""
    look: dict[str, object] = {"stroke": INK, "stroke_width": edge * unit, "stroke_linejoin": "round"}
    return tag("path", d=d, fill=fill, fill_rule="evenodd", **(look if edge else {}))


def square(d: str, unit: float) -> str:
    """A square in which something lies: a dashed edge, so that it is not taken for a boundary."""
    return _line(d, CLAY, 1.4 * unit, stroke_dasharray=f"{4 * unit:.1f} {3 * unit:.1f}")


def lane(d: str, unit: float) -> str:
    """A broken line in the colour of what people do."""
    return _line(d, CLAY, 1.0 * unit, stroke_dasharray=f"{5 * unit:.1f} {2.5 * unit:.1f}")


def _line(d: str, colour: str, width: float, **more: object) -> str:
    return tag("path", d=d, fill=_NONE, stroke=colour, stroke_width=width, stroke_linejoin="round", **more)


def hole(x: float, y: float, unit: float, filled: bool) -> str:
    """A solid dot when filled; a ring with a cross while open."""
    r = 3.2 * unit
    if filled:
        return tag("circle", cx=x, cy=y, r=r, fill=INK, stroke=PAPER, stroke_width=0.8 * unit)
    ring = tag("circle", cx=x, cy=y, r=r * 1.35, fill=PAPER, stroke=INK, stroke_width=1.4 * unit)
    c = r * 0.95
    cross = (
        f"M{x - c:.1f} {y - c:.1f}L{x + c:.1f} {y + c:.1f}M{x - c:.1f} {y + c:.1f}L{x + c:.1f} {y - c:.1f}"
    )
    return ring + tag("path", d=cross, stroke=INK, stroke_width=1.4 * unit)


def find(x: float, y: float, unit: float) -> str:
    """A diamond."""
    r = 4.6 * unit
    d = f"M{x:.1f} {y - r:.1f}L{x + r:.1f} {y:.1f}L{x:.1f} {y + r:.1f}L{x - r:.1f} {y:.1f}Z"
    return tag("path", d=d, fill=CLAY, stroke=PAPER, stroke_width=1.0 * unit)


def gate(x: float, y: float, unit: float) -> str:
    """Two posts and three bars."""
    w, h = 6.5 * unit, 4.5 * unit
    rows = "".join(f"M{x - w:.1f} {y + dy * h:.1f}H{x + w:.1f}" for dy in (-0.55, 0.0, 0.55))
    posts = f"M{x - w:.1f} {y - h:.1f}V{y + h:.1f}M{x + w:.1f} {y - h:.1f}V{y + h:.1f}"
    back = tag("rect", x=x - w, y=y - h, width=2 * w, height=2 * h, fill=PAPER)
    return back + tag("path", d=posts + rows, fill=_NONE, stroke=INK, stroke_width=1.5 * unit)


def points(frame: Frame, holes: Sequence[HoleMark], finds: Sequence[Mark]) -> str:
    """Every hole and find in the frame, then the labels: finds first, then open holes, then filled ones."""
    placed_holes = [(*frame.at(m.lon, m.lat), m) for m in sorted(holes, key=lambda m: not m.filled)]
    placed_finds = [(*frame.at(m.lon, m.lat), m) for m in finds]
    shown_holes = [(x, y, m) for x, y, m in placed_holes if frame.shows(x, y)]
    shown_finds = [(x, y, m) for x, y, m in placed_finds if frame.shows(x, y)]
    for x, y, _ in (*shown_holes, *shown_finds):
        frame.hold(x, y, 3.5)
    drawn = [hole(x, y, frame.unit, m.filled) for x, y, m in shown_holes]
    drawn += [find(x, y, frame.unit) for x, y, _ in shown_finds]
    drawn += [frame.label(x, y, m.label, reach=6.5) for x, y, m in shown_finds]
    drawn += [frame.label(x, y, m.label, size=8) for x, y, m in reversed(shown_holes)]
    return "".join(drawn)
