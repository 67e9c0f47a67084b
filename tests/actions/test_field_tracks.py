"""Tracks from phones: parts of one walk, gaps never drawn over, and a clock that is a day out."""

from typing import Any
from uuid import uuid4

import numpy as np
import pytest
from django.utils.timezone import now

from field.errors import NotNeededError
from field.tracks import track
from hunts import actions
from hunts.models import Hunt, Track
from people.models import User
from tests import ground, make

DAY_S = 86_400


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    made = make.hunt(leader=leader, state="running", started_at=now())
    make.attendance(made, member)
    return made


def points(hunt: Hunt, *, clock_s: float = 0) -> list[list[float]]:
    """The makers' serpentine as a phone records it, two metres and four seconds apart."""
    place = ground.serpentine()[::2]
    lon, lat = ground.LOCAL.inverse(place[:, 0], place[:, 1])
    second = ground.morning(hunt).timestamp() + 4.0 * np.arange(len(place)) + clock_s
    return [[float(t), float(y), float(x), 4.0] for t, x, y in zip(second, lon, lat, strict=True)]


def test_a_phone_a_day_out_keeps_its_track(hunt: Hunt) -> None:
    """Its seconds are its own; what the envelope says its clock is out by brings them to the day of the hunt."""
    right = track(hunt, {"points": points(hunt), "gaps": [], "part": 1})
    data = {"points": points(hunt, clock_s=-DAY_S), "gaps": [], "part": 1}
    with pytest.raises(NotNeededError):
        track(hunt, data)
    told = track(hunt, data, clock_s=DAY_S)
    assert told.columns["length_m"] == pytest.approx(right.columns["length_m"])
    assert told.columns["length_m"] == pytest.approx(10 * 160 + 9 * 3, rel=0.06)
    assert told.columns["seconds"] == right.columns["seconds"]


def test_a_gap_is_not_drawn_over(hunt: Hunt) -> None:
    """A phone that slept over a hundred metres covers nothing there."""
    rows = points(hunt)
    awake = [*rows[:200], *rows[250:]]
    whole = track(hunt, {"points": rows, "gaps": []})
    slept = track(hunt, {"points": awake, "gaps": [[rows[199][0], rows[250][0]]]})
    missing = whole.columns["length_m"] - slept.columns["length_m"]
    assert missing == pytest.approx(102, abs=8)


def test_parts_of_one_walk_are_kept_beside_each_other(hunt: Hunt, member: User) -> None:
    """The phone's parts share their last and first point; none takes the place of another."""
    rows: list[Any] = points(hunt)
    for part in (rows[:300], rows[299:598], rows[597:]):
        prepared = track(hunt, {"points": part, "gaps": []})
        actions.add_track(hunt.pk, prepared, by=member, at=now(), client_id=uuid4())
    lengths = Track.objects.filter(hunt=hunt, user=member).values_list("length_m", flat=True)
    assert len(lengths) == 3
    assert sum(lengths) == pytest.approx(10 * 160 + 9 * 3, rel=0.06)
