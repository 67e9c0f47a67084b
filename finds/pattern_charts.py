"""Where the bars, the band and the blocks of the charts lie: user units of an SVG, so that a template only prints."""

from collections.abc import Iterable
from typing import Any

import numpy as np

from finds.density import LEVELS, Surface
from finds.patterns import Dates
from tongue import figure

LABEL, ACROSS, BAR, GAP, TOP = 176, 170, 20, 6, 6
LONGEST = 18  # letters of a label that fit beside a bar; all are set in 16 units, 12 px on a phone of 360
WIDE, HIGH, LEFT, FOOT = 420, 170, 44, 26
SURFACE = 400.0


def bars(rows: Iterable[tuple[str, float, str]]) -> dict[str, Any]:
    """Lying bars of (label, value, words): longest for the largest value."""
    listed = list(rows)
    most = max((value for _, value, _ in listed), default=0) or 1
    drawn = []
    for place, (label, value, words) in enumerate(listed):
        top = TOP + place * (BAR + GAP)
        width = round(value / most * ACROSS, 1)
        short = label if len(label) <= LONGEST else label[: LONGEST - 1] + "…"
        drawn.append({"label": short, "top": top, "text": top + BAR - 5, "width": width, "words": words})
        drawn[-1]["after"] = round(LABEL + 8 + width + 5, 1)
    height = TOP + len(listed) * (BAR + GAP)
    return {"bars": drawn, "height": height, "edge": LABEL, "left": LABEL + 8, "bar": BAR}


def counts(rows: Iterable[tuple[str, int]]) -> dict[str, Any]:
    """Bars of plain counts."""
    return bars((label, n, figure(f"{n:,}")) for label, n in rows)


def columns(dates: Dates) -> dict[str, Any] | None:
    """Standing columns of expected finds with the band as a line on each; None without dated finds."""
    rows = dates.rows
    if not rows:
        return None
    most = max(row["high"] for row in rows) or 1
    step = (WIDE - LEFT) / len(rows)
    every = -(-len(rows) // 5)
    drawn = []
    for place, row in enumerate(rows):
        left = LEFT + place * step
        y = {name: round(HIGH - row[name] / most * (HIGH - 14), 1) for name in ("expected", "low", "high")}
        drawn.append(
            {
                "left": round(left + step * 0.1, 1),
                "middle": round(left + step / 2, 1),
                "width": round(step * 0.8, 1),
                "high": round(HIGH - y["expected"], 1),
                "y": y,
                "label": _from(row["words"]) if place % every == 0 and place * step < WIDE - 2 * LEFT else "",
            }
        )
    return {
        "bars": drawn,
        "wide": WIDE,
        "bottom": HIGH,
        "height": HIGH + FOOT,
        "left": LEFT,
        "most": f"{most:.0f}",
    }


def _from(words: str) -> str:
    return words.split(" to ")[0]


def blocks(surface: Surface) -> dict[str, Any]:
    """The surface as rectangles, blocks of one class in a row joined; the darker, the more finds. North is up."""
    classes = surface.classes
    rows, cols = classes.shape
    side = SURFACE / max(rows, cols)
    drawn = []
    for row in range(rows):
        line = classes[row]
        starts = np.flatnonzero(np.diff(line, prepend=-9))
        for start, stop in zip(starts, [*starts[1:], cols], strict=True):
            level = int(line[start])
            if level > -2:
                place = {"x": start * side, "y": (rows - 1 - row) * side, "width": (stop - start) * side}
                drawn.append({name: round(float(value), 2) for name, value in place.items()} | shade(level))
    size = {"wide": round(cols * side, 2), "high": round(rows * side, 2), "side": round(side, 2)}
    return {"blocks": drawn, "metres": round(cols * surface.side_m), **size}


def shade(level: int) -> dict[str, Any]:
    """How a class is filled: hatching for what nobody covered."""
    return {"hatched": level < 0, "opacity": round(0.08 + 0.8 * level / (LEVELS - 1), 2) if level >= 0 else 1}
