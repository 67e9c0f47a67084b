"""What records say of two finds, put as the plain facts that finds/same_find.py weighs; and which finds lie near."""

from collections.abc import Sequence
from functools import cache
from math import cos, radians
from typing import Any

from django.conf import settings
from django.db.models import ExpressionWrapper, F, FloatField, Q, QuerySet
from django.utils import translation
from django.utils.timezone import localdate

from finds.models import Find
from finds.models.choices import Material
from finds.same_find import PairFacts, radius_of
from geo.measure import GEOD
from geo.pairs import MOST_REACH_M, reach_m

NEAREST = 200
"""So many neighbours are looked at for one find, the nearest first, however many lie in the spot."""

_HAIR_M = 1e-3
_DEGREE_M = 111_000  # a little less than any degree of latitude, so that the box is never too small


def pair_facts(find: Find) -> PairFacts:
    """The facts of one find. `find` with hunt, finder and materials loaded."""
    return PairFacts(
        number=find.number,
        object_type=find.object_type,
        is_coin=find.is_coin,
        year_from=find.year_from,
        year_to=find.year_to,
        materials=tuple(sorted(_materials()[row.material] for row in find.materials.all())),
        hunt=find.hunt.code,
        found_on=localdate(find.found_at),
        finder=find.finder.name,
        place=(find.lon, find.lat) if find.lon is not None and find.lat is not None else None,
        accuracy_m=find.accuracy_m,
    )


@cache
def _materials() -> dict[str, str]:
    """The name of each material in one language, for the digest must not change with the reader."""
    with translation.override(settings.LANGUAGE_CODE):
        return {value: str(label).lower() for value, label in Material.choices}


def with_pair_facts(finds: QuerySet[Find]) -> QuerySet[Find]:
    """With what `pair_facts` reads, in two queries."""
    heavy = ("hunt__gate_answer", "hunt__briefing", "hunt__leader_report")
    return finds.select_related("hunt", "finder").defer(*heavy).prefetch_related("materials")


def distance_m(one: PairFacts, two: PairFacts) -> float | None:
    """Metres along the ellipsoid between the two places, or None where one is not known."""
    if one.place is None or two.place is None:
        return None
    return float(GEOD.inv(*one.place, *two.place)[2])


def reach_box(lat: float) -> tuple[float, float]:
    """Half the height, in degrees, of the box that holds all within reach, and how wide a degree is there (0 to 1)."""
    return MOST_REACH_M / _DEGREE_M, cos(radians(lat)) or 1e-6


def neighbours(find: Find) -> Sequence[Find]:
    """The live finds within reach of `find` among the NEAREST to it, those of its own group left out; nearest first.

    One question of the index on latitude and longitude for the places alone; the few in reach are then read in full.
    """
    if find.lon is None or find.lat is None:
        return []
    high, wide = reach_box(find.lat)
    box = Q(lat__range=(find.lat - high, find.lat + high))
    box &= Q(lon__range=(find.lon - high / wide, find.lon + high / wide))
    near: Any = Find.objects.filter(box, withdrawn_at=None).exclude(pk=find.pk)
    if find.group_id is not None:
        near = near.filter(~Q(group=find.group_id) | Q(group=None))
    north, east = F("lat") - find.lat, (F("lon") - find.lon) * wide
    apart = ExpressionWrapper(north * north + east * east, output_field=FloatField())
    places = near.order_by(apart, "pk").values_list("pk", "lon", "lat", "accuracy_m")[:NEAREST]
    keys = _within_reach(find, list(places))
    read = {row.pk: row for row in with_pair_facts(Find.objects.filter(pk__in=keys))} if keys else {}
    return [read[key] for key in keys]


def _within_reach(find: Find, places: Sequence[tuple[int, float, float, float | None]]) -> list[int]:
    """The keys of those no farther from `find` than both places may be out, and a hair more against rounding."""
    if not places:
        return []
    keys, lon, lat, accuracy = zip(*places, strict=True)
    metres = GEOD.inv([find.lon] * len(keys), [find.lat] * len(keys), lon, lat)[2]
    mine = radius_of(find.accuracy_m)
    return [
        key
        for key, apart_m, theirs in zip(keys, metres, accuracy, strict=True)
        if apart_m <= reach_m(mine, radius_of(theirs)) + _HAIR_M
    ]
