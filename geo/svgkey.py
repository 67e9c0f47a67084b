"""The key of a printed map: one sample and one word for each kind that is on it."""

from collections.abc import Callable, Iterator
from functools import partial

from geo import svgmarks
from geo.svgframe import Frame
from geo.svglayers import Ground, Layers

Sample = Callable[[float, float], str]
_ROWS, _COLUMN, _LINE = 3, 92.0, 15.0


def key(frame: Frame, layers: Layers, x: float, y: float, width_px: float) -> str:
    """Samples with words in columns of three, from x, y (pixels) to the right; as many as the width bears."""
    u = frame.unit
    fit = max(1, int(width_px // (_COLUMN * u))) * _ROWS
    drawn = []
    for i, (sample, words) in enumerate(list(_entries(frame, layers))[:fit]):
        left, middle = x + (i // _ROWS) * _COLUMN * u, y + (i % _ROWS) * _LINE * u
        drawn.append(
            sample(left + 9 * u, middle) + frame.text(left + 21 * u, middle + 3.2 * u, words, size=8)
        )
    return "".join(drawn)


def _entries(frame: Frame, layers: Layers) -> Iterator[tuple[Sample, str]]:
    yield from _marks(frame.unit, layers)
    yield from _areas(frame.unit, layers)


def _marks(u: float, layers: Layers) -> Iterator[tuple[Sample, str]]:
    if layers.finds:
        yield lambda x, y: svgmarks.find(x, y, u), "Find"
    if any(hole.filled for hole in layers.holes):
        yield lambda x, y: svgmarks.hole(x, y, u, True), "Hole, filled"
    if not all(hole.filled for hole in layers.holes):
        yield lambda x, y: svgmarks.hole(x, y, u, False), "Hole, open"
    if layers.gate:
        yield lambda x, y: svgmarks.gate(x, y, u), "Gate"


def _areas(u: float, layers: Layers) -> Iterator[tuple[Sample, str]]:
    """Lines and areas."""
    if layers.lanes:
        yield lambda x, y: svgmarks.lane(_bar(x, y, u), u), "Lane"
    if layers.squares:
        yield lambda x, y: svgmarks.square(_box(x, y, u), u), "1 km square"
    for shapes, fill, edge, words in (
        (layers.boundaries, "none", 2.0, "Boundary"),
        (layers.no_go, "url(#no-go)", 1.2, "Do not search"),
        (layers.covered, "url(#covered)", 0.0, "Ground covered"),
    ):
        if shapes:
            yield partial(_area, fill=fill, edge=edge, unit=u), words
    for kind in Ground:
        if any(shape.kind is kind for shape in layers.ground):
            yield partial(_ground, kind=kind, unit=u), kind.value.capitalize()


def _area(x: float, y: float, *, fill: str, edge: float, unit: float) -> str:
    return svgmarks.area(_box(x, y, unit), fill, edge, unit)


def _ground(x: float, y: float, *, kind: Ground, unit: float) -> str:
    d = _box(x, y, unit) if kind in (Ground.WOOD, Ground.FARMSTEAD) else _bar(x, y, unit)
    return svgmarks.ground(d, kind, unit)


def _bar(x: float, y: float, unit: float) -> str:
    return f"M{x - 8 * unit:.1f} {y:.1f}H{x + 8 * unit:.1f}"


def _box(x: float, y: float, unit: float) -> str:
    w, h = 8 * unit, 5 * unit
    return f"M{x - w:.1f} {y - h:.1f}H{x + w:.1f}V{y + h:.1f}H{x - w:.1f}Z"
