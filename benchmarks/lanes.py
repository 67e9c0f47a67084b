"""Lanes against a shapely intersection of scan lines in the same run. Run: python -m benchmarks.lanes"""

import functools
import math

import numpy as np
import shapely

from benchmarks.measure import measure
from geo.lanes import plan_lanes, share_lanes
from geo.local import Local

LOCAL = Local(0.25, 53.7)
SPACING_M = 1.6


def ground(hectares, vertices, holes):
    """A wavy, non-convex field with round holes, lon/lat."""
    turns = np.linspace(0, 2 * math.pi, vertices, endpoint=False)
    reach = 1 + 0.12 * np.sin(3 * turns) + 0.08 * np.cos(7 * turns)
    field = shapely.Polygon(np.column_stack([reach * np.cos(turns) * 1.4, reach * np.sin(turns)]))
    for n in range(holes):
        field = field.difference(shapely.Point(0.5 * math.cos(n), 0.5 * math.sin(n)).buffer(0.06))
    size = math.sqrt(hectares * 1e4 / field.area)
    return (LOCAL.to_degrees(shapely.transform(field, lambda c: c * size)),)


def ours(field):
    plan = plan_lanes(field, spacing_m=SPACING_M)
    share_lanes(plan, [f"Person {n}" for n in range(24)])
    return len(plan.lanes), plan.total_m, plan.heading_deg


def peer(field):
    """The same 72 headings, each cut by shapely: rotate, intersect a MultiLineString, count pieces."""
    from geo.lane_cut import best_headings

    metres = LOCAL.to_metres(field)
    best = None
    for heading in best_headings(shapely.MultiPolygon([metres])):
        turn = math.radians(heading - 90)
        rotated = shapely.affinity.rotate(metres, turn, origin=(0, 0), use_radians=True)
        west, south, east, north = rotated.bounds
        count = max(1, math.ceil((north - south) / SPACING_M - 0.01))
        first = south + (north - south - count * SPACING_M) / 2 + SPACING_M / 2
        rows = first + np.arange(count) * SPACING_M
        ends = np.array([[(west - 1, row), (east + 1, row)] for row in rows])
        cut = shapely.intersection(shapely.linestrings(ends), rotated)
        pieces = [part for part in shapely.get_parts(cut) if part.length >= 1]
        key = (len(pieces), count, -sum(part.length for part in pieces))
        best = min(best, key) if best else key
    return best[0], -best[2], None


def main():
    for hectares, vertices, holes in ((4, 40, 1), (15, 120, 3), (200, 400, 8)):
        prepared = functools.partial(ground, hectares, vertices, holes)
        mine, theirs = measure(ours, prepared), measure(peer, prepared, 1)
        print(
            f"{hectares:4} ha, {vertices} corners, {holes} holes: {mine[0] * 1e3:5.0f} ms {mine[1]:5.1f} MB"
            f" | shapely {theirs[0] * 1e3:6.0f} ms {theirs[1]:4.1f} MB = {theirs[0] / mine[0]:4.0f} times"
            f" | pieces {mine[3][0]} and {theirs[3][0]}, length {100 * (mine[3][1] / theirs[3][1] - 1):+.4f} %"
        )


if __name__ == "__main__":
    main()
