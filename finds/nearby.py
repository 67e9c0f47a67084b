"""Other finds on record close to those of a case: how many, and the nearest by number and distance."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, radians

from django.db.models import Q
from django.utils.translation import gettext as _

from finds.models import Find
from tongue import figure

NEAR_M = 50.0
"""What counts as close by: the farthest at which two finds are looked at as one (geo.pairs.MOST_REACH_M)."""
MOST_NAMED = 8
_DEGREE_M = 111_000  # a little less than any degree of latitude, so that the box is never too small


@dataclass(frozen=True, slots=True)
class Nearby:
    """Live finds within `NEAR_M` of one find that are not of its case; None as count where its place is not known."""

    count: int | None
    named: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        if self.count is None:
            return _("not known, as its own place is not on record")
        if not self.count:
            return _("none on record within %(near_m)s m") % {"near_m": figure(f"{NEAR_M:.0f}")}
        rest = self.count - len(self.named)
        more = (_("and %(rest)s more") % {"rest": rest},) if rest else ()
        return _("%(count)s within %(near_m)s m: %(value)s") % {
            "count": self.count,
            "near_m": figure(f"{NEAR_M:.0f}"),
            "value": "; ".join((*self.named, *more)),
        }


def nearby(finds: Sequence[Find]) -> dict[int, Nearby]:
    """What lies near each of `finds` by primary key, these finds themselves left out; one query for all."""
    placed = [find for find in finds if find.lon is not None and find.lat is not None]
    found = {find.pk: Nearby(None) for find in finds}
    if placed:
        others = _in_box(placed)
        found |= {find.pk: _near(find, others) for find in placed}
    return found


def _in_box(placed: Sequence[Find]) -> list[tuple[str, str, float, float]]:
    high = NEAR_M / _DEGREE_M
    lats = [find.lat or 0.0 for find in placed]
    lons = [find.lon or 0.0 for find in placed]
    wide = high / (cos(radians(max(map(abs, lats)))) or 1e-6)
    box = Q(lat__range=(min(lats) - high, max(lats) + high))
    box &= Q(lon__range=(min(lons) - wide, max(lons) + wide))
    rows = Find.objects.filter(box, withdrawn_at=None).exclude(pk__in=[find.pk for find in placed])
    columns = rows.order_by("number").values_list("number", "object_type", "lon", "lat")
    return [(number, what, lon or 0.0, lat or 0.0) for number, what, lon, lat in columns]


def _near(find: Find, others: Sequence[tuple[str, str, float, float]]) -> Nearby:
    lon, lat = find.lon or 0.0, find.lat or 0.0
    wide = cos(radians(lat))
    apart = sorted(
        (distance, number, what)
        for number, what, east, north in others
        if (distance := hypot((east - lon) * wide, north - lat) * 111_195) <= NEAR_M
    )
    named = tuple(f"{number} {what}, {distance:.0f} m" for distance, number, what in apart[:MOST_NAMED])
    return Nearby(len(apart), named)
