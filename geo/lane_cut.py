"""Cutting ground into parallel pieces: headings worth trying, scan lines across edges, least widths.

Source: Houle and Toussaint 1988, *Computing the width of a set*; Choset 2001, *Coverage for robotics* (from
memory).
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

Floats = NDArray[np.float64]

MAX_HEADINGS = 72
MIN_PIECE_M = 1.0


@dataclass(frozen=True)
class Pieces:
    """Pieces at one heading: strip index k, across offset v, from and to along offsets u, all (n,)."""

    heading_deg: float
    strip: NDArray[np.int64]
    across: Floats
    start: Floats
    stop: Floats

    @property
    def total(self) -> float:
        return float((self.stop - self.start).sum())

    def cost(self, area_m2: float, spacing_m: float) -> tuple[bool, int, int, float]:
        """Sorting key: headings that miss half of a narrow ground last, then pieces, lanes, and length."""
        misses = self.total * spacing_m < area_m2 / 2
        return misses, len(self.strip), len(np.unique(self.strip)), -self.total


def best_headings(ground: Any) -> list[float]:
    """Headings worth trying, degrees in [0, 180):

    all hull edges, then the longest polygon edges, at most 72.
    """
    hull = _directions(edges_of(shapely.convex_hull(ground).simplify(0.05)))
    own = _directions(edges_of(ground.simplify(0.25)))
    return ([*hull, *own] or [0.0])[:MAX_HEADINGS]


def edges_of(geometry: Any) -> Floats:
    """All boundary edges of polygons as (n, 4): x1, y1, x2, y2."""
    coordinates, ring = shapely.get_coordinates(
        shapely.get_rings(shapely.get_parts(geometry)), return_index=True
    )
    same = ring[1:] == ring[:-1]
    return np.column_stack([coordinates[:-1][same], coordinates[1:][same]])


def _directions(edges: Floats) -> list[float]:
    """Compass directions of the edges in [0, 180), longest edge first, those within 0.01 degree once."""
    dx, dy = edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1]
    order = np.argsort(-np.hypot(dx, dy), kind="stable")
    turns = (np.degrees(np.arctan2(dx, dy)) % 180)[order].tolist()
    first = {round(turn, 2) % 180: turn for turn in reversed(turns)}
    return sorted(first.values(), key=turns.index)


def cut(edges: Floats, heading_deg: float, spacing_m: float) -> Pieces:
    """Cut the ground at one heading: where scan lines cross edges, taken in pairs (even-odd rule)."""
    sin, cos = math.sin(math.radians(heading_deg)), math.cos(math.radians(heading_deg))
    u = edges[:, 0::2] * sin + edges[:, 1::2] * cos
    v = edges[:, 0::2] * cos - edges[:, 1::2] * sin
    low, width = v.min(), v.max() - v.min()
    count = max(1, math.ceil(width / spacing_m - 0.01))
    first = low + (width - count * spacing_m) / 2 + spacing_m / 2
    # Half-open in v: a scan line through a vertex meets one of its two edges, or both or none at a tip.
    lo = np.floor((v.min(axis=1) - first) / spacing_m).astype(np.int64) + 1
    hits = np.floor((v.max(axis=1) - first) / spacing_m).astype(np.int64) - lo + 1
    edge = np.repeat(np.arange(len(edges)), hits)
    strip = lo[edge] + np.arange(len(edge)) - np.repeat(np.cumsum(hits) - hits, hits)
    across = first + strip * spacing_m
    along = u[edge, 0] + (across - v[edge, 0]) / (v[edge, 1] - v[edge, 0]) * (u[edge, 1] - u[edge, 0])
    order = np.lexsort((along, strip))
    strip, across, along = strip[order][::2], across[order][::2], along[order].reshape(-1, 2)
    keep = along[:, 1] - along[:, 0] >= MIN_PIECE_M
    return Pieces(heading_deg, strip[keep], across[keep], along[keep, 0], along[keep, 1])
