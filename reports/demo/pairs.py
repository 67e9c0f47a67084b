"""Two pairs of finds for the committee to look at: one that only lies near, one that its finder speaks of."""

from datetime import datetime, timedelta
from random import Random
from typing import Any

from finds import actions
from finds.circumstances import NO_PRECIOUS, answers_from
from finds.models import Find
from hunts.models import Hunt
from reports.demo.ground import point_in
from reports.demo.land import Land, client_id

DEGREE_M = 111_300  # of latitude, near enough to lay two things a stride apart
FACTS = answers_from(["none"]) | NO_PRECIOUS | {"worked": "yes"}


def make_pairs(hunts: list[tuple[Hunt, Land]], at: datetime, rng: Random) -> None:
    """The same from the same seed; neither pair has anything that would open a case."""
    strap: dict[str, Any] = {"object_type": "strap end", "is_coin": "no", "year_from": 1300, "year_to": 1450}
    weight: dict[str, Any] = {
        "object_type": "weight, disc",
        "is_coin": "no",
        "year_from": 1500,
        "year_to": 1800,
    }
    _pair(*hunts[-4], rng, material="copper alloy", period="Medieval", **strap)
    one, two = _pair(*hunts[-5], rng, material="lead", period="Post-medieval", **weight)
    actions.propose_pair(
        one.pk,
        two.number,
        by=one.finder,
        at=min(at, two.found_at + timedelta(days=1)),
        words="They lay in the same furrow, one on top of the other, and look like a set.",
    )


def _pair(hunt: Hunt, land: Land, rng: Random, *, material: str, **fields: Any) -> tuple[Find, Find]:
    site = hunt.sites.order_by("pk")[0]
    finder = hunt.sign_ups.standing().order_by("pk")[2].user
    lon, lat = point_in(land.fields[site.pk].shape, rng)
    first, second = (
        actions.record_find(
            hunt.pk,
            by=finder,
            at=hunt.begins + timedelta(hours=3, minutes=minutes),
            client_id=client_id(rng),
            materials={material: None},
            finder=finder,
            site=site,
            found_at=hunt.begins + timedelta(hours=2, minutes=minutes),
            lon=lon,
            lat=lat + north_m / DEGREE_M,
            accuracy_m=4.0,
            position_method="averaged",
            placing="inside",
            certainty="probable",
            facts=FACTS,
            **fields,
        )
        for minutes, north_m in ((5, 0.0), (20, 2.1))
    )
    return first, second
