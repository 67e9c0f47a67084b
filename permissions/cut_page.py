"""What the pages of a split and a merge show: the new ground on the map, and what goes over to it in words."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from geo.measure import to_shape
from geo.polygon import CheckedBoundary
from people.models import User
from permissions.carry import CannotCarryError, carry_from
from permissions.maps import background, drawn_on_map, one_site_on_map
from permissions.models import Site

_NEAR_DEG = 0.0006  # some 40 to 70 m
_PLANNED = ("planned", "open")


def neighbours_of(site: Site, user: User) -> list[Site]:
    """The sites in use whose ground comes within a hedge and a lane of this one."""
    if None in site.bounds or not site.boundary:
        return []
    ground = to_shape(site.boundary).buffer(_NEAR_DEG)
    west, south, east, north = ground.bounds
    near = Site.objects.visible_to(user).current().exclude(pk=site.pk)
    near = near.filter(min_lat__lte=north, max_lat__gte=south, min_lon__lte=east, max_lon__gte=west)
    return [other for other in near if other.boundary and to_shape(other.boundary).intersects(ground)]


def board(site: Site, neighbours: Sequence[Site] = ()) -> dict[str, Any]:
    """The site to draw over, with its no-go ground, or among the neighbours it may be merged with."""
    features = (
        drawn_on_map([], [site, *neighbours]) if neighbours else one_site_on_map(site, site.no_go.all())
    )
    return {"features": features, "background": background()}


def cut_context(
    old: Sequence[Site], boundaries: Sequence[CheckedBoundary], notes: Sequence[str], *, on: date
) -> dict[str, Any]:
    """The new ground before it is saved. `problem` says why it cannot be."""
    try:
        words, problem = carry_from(old, on).words, ""
    except CannotCarryError as error:
        words, problem = [], str(error)
    many = len(boundaries) > 1
    shapes = [
        (b.geometry, _("Part %(n)s") % {"n": n} if many else _("Merged")) for n, b in enumerate(boundaries, 1)
    ]
    return {
        "areas": [b.area_m2 for b in boundaries],
        "notes": list(notes),
        "words": [*words, *_planned(old)],
        "problem": problem,
        "layers": {"shapes": drawn_on_map(shapes), "ground": background()},
    }


def _planned(old: Sequence[Site]) -> list[str]:
    """Hunts stay where they were planned, and the gate shuts for them: said before, not found out on the day."""
    rows = Site.objects.filter(pk__in=[site.pk for site in old], hunt_sites__hunt__state__in=_PLANNED)
    codes = sorted(set(rows.values_list("code", flat=True)))
    return [
        _("Hunts are planned on %(code)s: the gate will be shut for them, so plan them anew.")
        % {"code": code}
        for code in codes
    ]
