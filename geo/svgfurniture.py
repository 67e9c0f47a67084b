"""Round a printed map: scale bar, north arrow, and grid lines with their figures."""

import math

from geo.svgframe import INK, LINE, PAPER, Frame, tag
from geo.svglayers import Grid

_MOST_LINES = 12
_QUIET = "#5b544a"


def round_length_m(longest_m: float) -> float:
    """The longest of 1, 2, 5 times a power of ten that is no longer than `longest_m` (above 0)."""
    power = 10.0 ** math.floor(math.log10(longest_m))
    return max(step * power for step in (1, 2, 5) if step * power <= longest_m * (1 + 1e-9))


def length_words(metres: float) -> str:
    return f"{metres / 1000:g} km" if metres >= 1000 else f"{metres:g} m"


def scale_bar(frame: Frame, x: float, y: float) -> str:
    """A bar of two halves, at most a quarter of the frame, with its length in round metres."""
    metres = round_length_m(frame.width_px / frame.px_per_m / 4)
    half, high, u = metres * frame.px_per_m / 2, 4 * frame.unit, frame.unit
    bar = tag("rect", x=x, y=y, width=half, height=high, fill=INK, stroke=INK, stroke_width=0.8 * u)
    bar += tag("rect", x=x + half, y=y, width=half, height=high, fill=PAPER, stroke=INK, stroke_width=0.8 * u)
    bar += frame.text(x, y - 4 * u, "0", size=9, text_anchor="middle")
    return bar + frame.text(x + 2 * half, y - 4 * u, length_words(metres), size=9, text_anchor="middle")


def north_arrow(frame: Frame, x: float, y: float) -> str:
    """An arrow half solid, half open, with N: true north at the middle of the map."""
    u = frame.unit
    left = f"M{x:.1f} {y - 11 * u:.1f}L{x - 5 * u:.1f} {y + 9 * u:.1f}L{x:.1f} {y + 5 * u:.1f}Z"
    right = f"M{x:.1f} {y - 11 * u:.1f}L{x + 5 * u:.1f} {y + 9 * u:.1f}L{x:.1f} {y + 5 * u:.1f}Z"
    arrow = tag("path", d=left, fill=INK, stroke=INK, stroke_width=0.8 * u)
    arrow += tag("path", d=right, fill=PAPER, stroke=INK, stroke_width=0.8 * u)
    return arrow + frame.text(x, y - 14 * u, "N", size=10, text_anchor="middle", font_weight="bold")


def grid_step_m(frame: Frame) -> float:
    """A power of ten of metres that rules the frame with no more than a dozen lines across."""
    across_m = max(frame.width_px, frame.height_px) / frame.px_per_m
    return 10.0 ** math.ceil(math.log10(across_m / _MOST_LINES))


def graticule(frame: Frame, grid: Grid) -> str:
    """Grid lines at each step, bent as the ground asks, with their figures at the edge they enter by."""
    step = grid_step_m(frame)
    points = [grid.forward(lon, lat) for lon, lat in frame.corners()]
    east = [p[0] for p in points]
    north = [p[1] for p in points]
    easts, norths = (min(east), max(east)), (min(north), max(north))
    upright = [
        _upright(frame, [grid.inverse(e, n) for n in _along(*norths)], _figures(e, step))
        for e in _steps(*easts, step)
    ]
    level = [
        _level(frame, [grid.inverse(e, n) for e in _along(*easts)], _figures(n, step))
        for n in _steps(*norths, step)
    ]
    return "".join((*upright, *level))


def _steps(low: float, high: float, step: float) -> list[float]:
    return [i * step for i in range(math.ceil(low / step), math.floor(high / step) + 1)]


def _along(low: float, high: float) -> list[float]:
    return [low + (high - low) * i / 4 for i in range(5)]


def _figures(metres: float, step: float) -> str:
    """The figures of a grid reference at this step: 541300 at 100 m is '413'."""
    width = max(1, 5 - round(math.log10(step)))
    return f"{int(metres % 100_000 // step):0{width}d}" if step < 100_000 else ""


def _upright(frame: Frame, degrees: list[tuple[float, float]], figures: str) -> str:
    """A line of one easting, its figures at the lower edge."""
    points, u = [frame.at(lon, lat) for lon, lat in degrees], frame.unit
    (x0, y0), (x1, y1) = points[0], points[-1]
    x = x0 + (x1 - x0) * (frame.height_px - y0) / (y1 - y0)
    if not 20 * u < x < frame.width_px - 12 * u:
        return _ruled(frame, points)
    words = frame.text(x, frame.height_px - 3 * u, figures, size=7.5, text_anchor="middle", fill=_QUIET)
    return _ruled(frame, points) + words


def _level(frame: Frame, degrees: list[tuple[float, float]], figures: str) -> str:
    """A line of one northing, its figures at the left edge."""
    points, u = [frame.at(lon, lat) for lon, lat in degrees], frame.unit
    (x0, y0), (x1, y1) = points[0], points[-1]
    y = y0 + (y1 - y0) * (0 - x0) / (x1 - x0)
    if not 12 * u < y < frame.height_px - 14 * u:
        return _ruled(frame, points)
    return _ruled(frame, points) + frame.text(3 * u, y + 2.5 * u, figures, size=7.5, fill=_QUIET)


def _ruled(frame: Frame, points: list[tuple[float, float]]) -> str:
    d = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    return tag("path", d=d, fill="none", stroke=LINE, stroke_width=0.5 * frame.unit)
