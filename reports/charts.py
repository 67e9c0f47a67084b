"""Bars as SVG text for reports: no styles, scripts or links, legible in grey. The same numbers stand in a table."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from geo.svgframe import CLAY, INK, LINE, PAPER, plain, tag
from reports.blocks import ReportError
from tongue import figure

WIDTH, LEFT, RIGHT, ROW, TOP = 400.0, 176.0, 70.0, 26.0, 10.0
LETTERS = 15
"""Narrow, so that its letters are at least 12 px high where a phone shows it 328 px wide."""
LONGEST_LABEL = 18
Bar = tuple[str, float]


def bar_chart(bars: Sequence[Bar], *, title: str, unit: str = "") -> str:
    """One horizontal bar a label, the largest filling the width, each with its number beside it.

    `title` is what a screen reader says. Raises ReportError for no bars and for a number below zero.
    """
    if not bars:
        raise ReportError(_("Chart “%(title)s” has no bars; give at least one.") % {"title": title})
    if low := [label for label, value in bars if value < 0]:
        raise ReportError(
            _("Chart “%(title)s” has a bar below zero (%(low)s); give zero or more.")
            % {"title": title, "low": low[0]}
        )
    most = max(value for _label, value in bars) or 1.0
    height = 2 * TOP + ROW * len(bars)
    body = "".join(
        _bar(label, value, value / most, TOP + ROW * n, unit) for n, (label, value) in enumerate(bars)
    )
    axis = tag("line", x1=LEFT, x2=LEFT, y1=TOP / 2, y2=height - TOP / 2, stroke=LINE, stroke_width=1)
    return tag(
        "svg",
        tag("title", plain(title), id="chart-title")
        + tag("rect", width=WIDTH, height=height, fill=PAPER)
        + axis
        + body,
        xmlns="http://www.w3.org/2000/svg",
        width=WIDTH,
        height=height,
        viewBox=f"0 0 {WIDTH:.0f} {height:.0f}",
        role="img",
        aria_labelledby="chart-title",
        font_family="system-ui, 'Libertinus Serif', sans-serif",
    )


def _bar(label: str, value: float, share: float, top: float, unit: str) -> str:
    width = share * (WIDTH - LEFT - RIGHT)
    line = top + ROW * 0.68
    drawn = tag("rect", x=LEFT, y=top + 4, width=width, height=ROW - 8, fill=CLAY) if width else ""
    number = f"{number_words(value)}{f' {unit}' if unit else ''}"
    return (
        tag("text", plain(_short(label)), x=LEFT - 8, y=line, text_anchor="end", font_size=LETTERS, fill=INK)
        + drawn
        + tag("text", plain(number), x=LEFT + width + 6, y=line, font_size=LETTERS, fill=INK)
    )


def number_words(value: float) -> str:
    """'1,204' or '3.5'."""
    return figure(f"{value:,.0f}" if float(value).is_integer() else f"{value:,.1f}")


def _short(label: str) -> str:
    return label if len(label) <= LONGEST_LABEL else f"{label[: LONGEST_LABEL - 1].rstrip()}…"


def bars_in_words(bars: Sequence[Bar], *, shown: int = 4) -> str:
    """'button 12, buckle 3 and 2 more': what the picture shows, for whoever cannot see it."""
    first = ", ".join(f"{label} {number_words(value)}" for label, value in bars[:shown])
    return (
        _("%(first)s and %(value)s more") % {"first": first, "value": len(bars) - shown}
        if len(bars) > shown
        else first
    )
