"""Synthetic walks on invented ground at sea:

serpentines with receiver noise, and the exact ground they sweep.
"""

import math

import numpy as np
import shapely

from geo.gpx import Line
from geo.local import Local

LOCAL = Local(0.25, 53.7)
NOON_S = 1_772_366_400.0  # 2026-03-01 12:00 UTC


def serpentine(lanes=20, length_m=400.0, spacing_m=1.6, turn_deg=0.0):
    """The corner points of lanes joined end to end, (2 × lanes, 2) metres."""
    corners = [
        (x, lane * spacing_m)
        for lane in range(lanes)
        for x in ((0, length_m) if lane % 2 == 0 else (length_m, 0))
    ]
    turn = math.radians(turn_deg)
    return np.array(corners) @ np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])


def swept_m2(lanes, length_m, spacing_m, swath_m):
    """The exact area within half a swath of such a serpentine, for spacing_m from swath_m to twice it and
    over.

    Lanes, the strip and two quarter discs beyond each turn's joint, and the round ends; elementary geometry.
    """
    r = swath_m / 2
    turns = (lanes - 1) * (spacing_m * r + math.pi * r * r / 2 + (spacing_m - 2 * r) * r)
    return lanes * length_m * swath_m + turns + math.pi * r * r


def walked(corners, points=14_400, sigma_m=0.0, white_m=0.0, stops=0, seed=1):
    """The walk at 1 Hz with `stops` of 20 to 180 s, drifting noise (90 s memory) and white noise:

    (points, 2).
    """
    rng = np.random.default_rng(seed)
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    speed = np.ones(points)
    for start in rng.integers(0, points, stops):
        speed[start : start + rng.integers(20, 180)] = 0
    at = np.cumsum(speed) / speed.sum() * along[-1]
    place = np.column_stack([np.interp(at, along, corners[:, 0]), np.interp(at, along, corners[:, 1])])
    memory = math.exp(-1 / 90)
    drift = np.zeros((points, 2))
    kicks = rng.normal(size=(points, 2)) * sigma_m * math.sqrt(1 - memory**2)
    drift[0] = rng.normal(size=2) * sigma_m
    for second in range(1, points):
        drift[second] = memory * drift[second - 1] + kicks[second]
    return place + drift + rng.normal(size=(points, 2)) * white_m


def line(place_m, *, start_s=NOON_S, every_s=1.0, timed=True, local=LOCAL):
    """The places as a GPX line."""
    lon, lat = local.inverse(place_m[:, 0], place_m[:, 1])
    count = len(place_m)
    time_s = start_s + np.arange(count) * every_s if timed else np.full(count, np.nan)
    return Line("walk", np.column_stack([lon, lat]), time_s, np.full(count, np.nan))


def field(place_m, margin_m=15.0):
    """A rectangle round the places, as metres."""
    low, high = place_m.min(axis=0) - margin_m, place_m.max(axis=0) + margin_m
    return shapely.MultiPolygon([shapely.box(*low, *high)])
