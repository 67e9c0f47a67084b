"""Tracks of the season: people walk their lanes with a drifting receiver, stop to dig, and give the file later."""

import math
from collections.abc import Mapping
from datetime import datetime, timedelta
from itertools import accumulate
from random import Random
from typing import Any

import numpy as np
from django.utils.timezone import localtime
from numpy.typing import NDArray

from geo.gpx import Gpx, Line
from geo.lanes import Share
from geo.local import Local
from hunts import actions
from hunts.ground import grounds_of
from hunts.lane_page import lanes_of
from hunts.models import Hunt, HuntPlan
from hunts.sweep import Settings, walking_m_s
from hunts.track_intake import prepare_gpx
from people.models import User
from reports.demo.land import client_id

Floats = NDArray[np.float64]

EVERY_S = 10
HOURS = 4.5  # out of the day, with a break and the walk to the lane
DRIFT_M, MEMORY_S = 1.2, 90.0  # a phone under open sky
STOPS_AN_HOUR = 5
PLAN = {"coil_m": 0.28, "overlap": 0.25, "swing_m_s": 1.2, "swath_m": 1.5, "spacing_m": 1.5}


def plan_sweep(hunt: Hunt, by: User, at: datetime) -> HuntPlan:
    """The leader's plan of the sweep for those who hold a place."""
    people = max(1, hunt.sign_ups.standing().count())
    return actions.set_ground_plan(
        hunt.pk, by=by, at=at, people=people, hours=5.0, targets_per_ha=60.0, minutes_per_dig=4.0, **PLAN
    )


def give_tracks(hunt: Hunt, plan: HuntPlan, leader: User, people: Mapping[int, User], at: datetime) -> None:
    """Two of three people recorded their walk on one of the hunt's fields; the same hunt gives the same tracks."""
    rng = Random(hunt.code)  # noqa: S311 - a repeatable demo, not a secret
    sites = list(hunt.sites.all())
    shared, _ = lanes_of(hunt, plan, leader, str(rng.choice(sites).pk))
    grounds, _ = grounds_of(hunt)
    for walker, share in shared.shares:
        if shared.ground is None or rng.random() > 0.67:
            continue
        line = _walk(share, shared.ground.local, _start(hunt, rng), rng)
        gpx = Gpx((line,), (), (), ())
        prepared = prepare_gpx(hunt, gpx, swath_m=plan.swath_m, accuracy_m=5, on=grounds)
        actions.add_track(hunt.pk, prepared, by=people[walker.user_id], at=at, client_id=client_id(rng))


def _start(hunt: Hunt, rng: Random) -> float:
    begin = localtime(hunt.begins) + timedelta(minutes=15 + rng.randrange(20))
    return float(begin.timestamp() // 1)


def _walk(share: Share, local: Local, start_s: float, rng: Random) -> Line:
    """As far along the lanes as the hours allow, with stops and drift, a point every ten seconds."""
    corners = [place for lane in share.lanes for place in lane.coordinates]
    x, y = local.forward([lon for lon, _ in corners], [lat for _, lat in corners])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])
    at = _reach(rng, float(along[-1]))
    place = np.column_stack([np.interp(at, along, x), np.interp(at, along, y)]) + _drift(len(at), rng)
    lon, lat = local.inverse(place[:, 0], place[:, 1])
    times: Floats = start_s + np.arange(len(at), dtype=float) * EVERY_S
    return Line("walk", np.column_stack([lon, lat]), times, np.full(len(at), np.nan))


def _reach(rng: Random, most_m: float) -> Floats:
    """Metres along the lanes at each point: the plan's pace, standing still at each hole."""
    count = round(HOURS * 3600 / EVERY_S)
    settings = Settings(PLAN["coil_m"], PLAN["overlap"], PLAN["swing_m_s"], PLAN["swath_m"])
    pace: Any = np.full(count, walking_m_s(settings) * rng.uniform(0.85, 1.3) * EVERY_S)
    for _ in range(round(HOURS * STOPS_AN_HOUR)):
        begin = rng.randrange(count)
        pace[begin : begin + rng.randrange(9, 30)] = 0
    reach: Floats = np.cumsum(pace)
    return reach[reach < most_m] if reach[-1] > most_m else reach


def _drift(count: int, rng: Random) -> Floats:
    """The receiver's error: it remembers itself for about a minute and a half."""
    noise = np.random.default_rng(rng.getrandbits(32)).normal(size=(count, 2))
    memory = math.exp(-EVERY_S / MEMORY_S)
    noise[1:] *= DRIFT_M * math.sqrt(1 - memory**2)
    noise[0] *= DRIFT_M
    return np.column_stack(
        [list(accumulate(side, lambda last, new: new + memory * last)) for side in noise.T.tolist()]
    )
