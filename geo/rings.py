"""Set cells as polygons along cell edges, by walking their outlines: several times faster than joining squares.

Every edge between a set and a bare cell is walked once with the set cell on the left; where two cells meet at a
corner alone, the walk turns left, so that they stay two shapes.
"""

from collections import defaultdict
from collections.abc import Iterable
from itertools import chain

import numpy as np
import shapely
from numpy.typing import NDArray

Bits = NDArray[np.bool_]
Floats = NDArray[np.float64]
Vertex = tuple[int, int]


def cell_polygons(cells: Bits) -> list[shapely.Polygon]:
    """One polygon for each group of cells that join along edges; a cell is 1 by 1, cell (0, 0) begins at the origin."""
    rings = [ring for walk in _walks(_edges(cells)) for ring in _simple(walk)]
    if not rings:
        return []
    lengths = [len(ring) for ring in rings]
    place = np.array(list(chain.from_iterable(rings)), dtype=float)
    starts = np.cumsum([0, *lengths[:-1]])
    is_outer = _areas(place, starts) > 0
    drawn = shapely.linearrings(place, indices=np.repeat(np.arange(len(rings)), lengths))
    outer, inner = shapely.polygons(drawn[is_outer]), drawn[~is_outer]
    beside = _left_of(place[starts[~is_outer]], place[starts[~is_outer] + 1])
    for owner, holes in _assigned(outer, beside).items():
        outer[owner] = shapely.polygons(outer[owner].exterior, holes=inner[holes])
    return list(outer)


def _edges(cells: Bits) -> dict[Vertex, list[Vertex]]:
    """Where each straight edge leads, by its first vertex (column, row); the set cell lies on its left.

    Stretches are drawn together here, for all cells at once. None runs through a corner where two cells meet alone:
    the bare cell changes sides there.
    """
    leads: dict[Vertex, list[Vertex]] = defaultdict(list)
    padded = np.pad(cells, 1)
    for line, begin, end in _runs(cells & ~padded[:-2, 1:-1]):
        leads[begin, line].append((end, line))
    for line, begin, end in _runs((cells & ~padded[1:-1, 2:]).T):
        leads[line + 1, begin].append((line + 1, end))
    for line, begin, end in _runs(cells & ~padded[2:, 1:-1]):
        leads[end, line + 1].append((begin, line + 1))
    for line, begin, end in _runs((cells & ~padded[1:-1, :-2]).T):
        leads[line, end].append((line, begin))
    return leads


def _runs(bits: Bits) -> Iterable[tuple[int, int, int]]:
    """Row, first column and the column after the last of each unbroken run of set bits along a row."""
    steps = np.diff(np.pad(bits.astype(np.int8), ((0, 0), (1, 1))), axis=1)
    rows, begins = np.nonzero(steps == 1)
    ends = np.nonzero(steps == -1)[1]
    return zip(rows.tolist(), begins.tolist(), ends.tolist(), strict=True)


def _walks(leads: dict[Vertex, list[Vertex]]) -> list[list[Vertex]]:
    """Closed walks over all edges."""
    walks = []
    while leads:
        start = at = next(iter(leads))
        walk, heading = [start], (0, 0)
        while True:
            ends = leads[at]
            to = ends.pop(_leftmost(at, heading, ends) if len(ends) > 1 else 0)
            if not ends:
                del leads[at]
            walk.append(to)
            at, heading = to, (to[0] - at[0], to[1] - at[1])
            if at == start:
                break
        walks.append(walk)
    return walks


def _leftmost(at: Vertex, heading: Vertex, ends: list[Vertex]) -> int:
    """Which of two edges turns left of `heading`; the first where the walk only begins."""
    turns = (heading[0] * (y - at[1]) - heading[1] * (x - at[0]) > 0 for x, y in ends)
    return next((number for number, left in enumerate(turns) if left), 0)


def _simple(walk: list[Vertex]) -> list[list[Vertex]]:
    """The walk as rings that touch no vertex twice, each closed."""
    rings: list[list[Vertex]] = []
    path: list[Vertex] = []
    seen: dict[Vertex, int] = {}
    for vertex in walk:
        if vertex in seen:
            begin = seen[vertex]
            rings.append([*path[begin:], vertex])
            for gone in path[begin + 1 :]:
                del seen[gone]
            del path[begin + 1 :]
        else:
            seen[vertex] = len(path)
            path.append(vertex)
    return rings


def _areas(place: Floats, starts: NDArray[np.intp]) -> Floats:
    """Twice the area of each ring, above zero when it runs against the clock; the rings' vertices one after another."""
    steps = np.append(place[:-1, 0] * place[1:, 1] - place[1:, 0] * place[:-1, 1], 0.0)
    steps[starts[1:] - 1] = 0.0  # from the end of one ring to the next is no edge
    areas: Floats = np.add.reduceat(steps, starts)
    return areas


def _assigned(outer: NDArray[np.object_], beside: Floats) -> dict[int, list[int]]:
    """The holes of each outline: a hole belongs to the smallest that holds the set cell `beside` it."""
    holes: dict[int, list[int]] = defaultdict(list)
    if not len(beside):
        return holes
    hole, outline = shapely.STRtree(outer).query(shapely.points(beside), predicate="within")
    order = np.lexsort((shapely.area(outer)[outline], hole))
    first = np.unique(hole[order], return_index=True)[1]
    for number, owner in zip(hole[order][first].tolist(), outline[order][first].tolist(), strict=True):
        holes[owner].append(number)
    return holes


def _left_of(first: Floats, second: Floats) -> Floats:
    """The middle of the cell to the left of each step from the first to the second vertex of a ring."""
    ahead = np.sign(second - first)
    left: Floats = first + 0.5 * ahead + 0.5 * np.column_stack([-ahead[:, 1], ahead[:, 0]])
    return left
