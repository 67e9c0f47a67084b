"""Sites: each with its boundary as it is drawn now, and whose land it is for those who may see that."""

from datetime import datetime
from typing import Any

from django.db.models import Q
from django.utils.timezone import localdate
from django.utils.translation import gettext_lazy as _lazy

from doors.feature import DRAWN, UNKNOWN, Box, Extent, Feature, Property
from doors.rows.base import TableRows, bounds_in, bounds_meet, bounds_of, meeting
from geo.measure import to_shape
from people.models import User
from people.rights import Right
from permissions.models import Site, SiteParty
from permissions.models.site import COUNTRIES, Said

PROPERTIES = {
    "code": Property("string", _lazy("Site code"), lookup="code"),
    "name": Property("string", _lazy("Field name"), lookup="name"),
    "holding": Property("string", _lazy("Farm or estate"), lookup="holding"),
    "parish": Property("string", _lazy("Parish"), lookup="parish"),
    "jurisdiction": Property(
        "string", _lazy("Law that applies"), lookup="jurisdiction", choices=tuple(sorted(COUNTRIES))
    ),
    "land_use": Property("string", _lazy("Usual land use"), lookup="land_use"),
    "tidal": Property("string", _lazy("Shore or tidal ground"), lookup="tidal", choices=tuple(Said.values)),
    "church_land": Property("string", _lazy("Church land"), lookup="church_land", choices=tuple(Said.values)),
    "area_m2": Property("number", _lazy("Area"), unit="m2"),
    "searchable_m2": Property("number", _lazy("Area without no-go ground"), unit="m2"),
    "access": Property("string", _lazy("Way in, parking, gates")),
    "hazards": Property("string", _lazy("Known hazards")),
    "retired_on": Property("string", _lazy("No longer used from"), format="date", lookup="retired_on"),
    "landholders": Property(
        "string",
        _lazy("Landholders"),
        _lazy(
            "Who has a say over it today, and in which capacity; left out for readers who may not see landholders."
        ),
    ),
    "precision": Property("string", _lazy("Precision"), _lazy("The boundary as it was drawn.")),
}


class SiteRows(TableRows):
    """Every site that the reader may see."""

    def visible_to(self, user: User) -> Any:
        return Site.objects.visible_to(user)

    def within(self, rows: Any, box: Box, user: User) -> Any:
        """Bounds decide for most; of those that the edge of the box cuts, the boundary itself."""
        on_edge = rows.filter(bounds_meet(box)).exclude(bounds_in(box)).order_by()
        ids = meeting(on_edge.values_list("pk", "boundary"), box)
        return rows.filter(Q(min_lon__isnull=True) | bounds_in(box) | Q(pk__in=ids))

    def shown(self, rows: Any, user: User, *, at: datetime) -> list[Feature]:
        sees = user.holds(Right.SEE_LANDHOLDERS)
        parties = _parties(rows, at) if sees else {}
        return [_feature(site, parties.get(site.pk, "") if sees else None) for site in rows]

    def extent(self, user: User) -> Extent:
        return Extent(bounds_of(self.visible_to(user)))


def _parties(sites: Any, at: datetime) -> dict[int, str]:
    """Names and capacities by site, of those with a say today."""
    found: dict[int, list[str]] = {}
    rows = SiteParty.objects.on(localdate(at)).filter(site__in=[site.pk for site in sites])
    for party in rows.select_related("landholder"):
        words = f"{party.landholder.name} ({party.get_capacity_display().lower()})"
        found.setdefault(party.site_id, []).append(words)
    return {site: "; ".join(words) for site, words in found.items()}


def _feature(site: Site, landholders: str | None) -> Feature:
    names = [
        name for name in PROPERTIES if name not in {"landholders", "precision", "area_m2", "searchable_m2"}
    ]
    said = {name: getattr(site, name) for name in names}
    said |= {"area_m2": round(site.area_m2, 1), "searchable_m2": round(site.searchable_m2, 1)}
    if landholders is not None:
        said["landholders"] = landholders
    shape = to_shape(site.boundary) if site.boundary else None
    return Feature(str(site.pk), shape, said | {"precision": UNKNOWN if shape is None else DRAWN})
