"""The outings that a table asks for as they would be once entered, worked out without writing any of them."""

from collections.abc import Iterator
from datetime import date

from django.db.models import prefetch_related_objects

from finds.import_ground import ComingHunt, portions
from finds.import_outings import Asked, Outing
from hunts.codes import codes_from
from hunts.errors import HuntError
from hunts.models import Hunt, HuntSite
from hunts.models.hunt import WHOLE_DAY
from hunts.past_ground import boundary_then, check_day_past


def as_entered(asked: Asked, *, today: date) -> list[ComingHunt]:
    """What entering them would make, one outing after the other as `finds.actions.old_finds` enters them.

    Each outing gets its hunt, as after entering; what cannot be becomes a problem of its rows. A hunt that is not there
    yet has a key below zero. A few queries, however many outings.
    """
    outings = asked.in_turn()
    new = [outing for outing in outings if outing.hunt is None]
    prefetch_related_objects(list({outing.site.pk: outing.site for outing in new}.values()), "boundaries")
    there = _entered_before(new)
    codes: dict[int, Iterator[str]] = {}
    coming = []
    for key, outing in enumerate(outings, 1):
        hunt = outing.hunt or there.get(outing.key)
        if hunt is None:
            try:
                coming.append(_would_be(outing, -key, codes, today))
            except HuntError as error:
                asked.refuse(outing, error)
        elif outing.hunt is None:
            outing.hunt = hunt
        elif hunt.is_past_outing:
            coming.append(ComingHunt(hunt, frozenset(outing.people)))
    return coming


def _entered_before(outings: list[Outing]) -> dict[object, Hunt]:
    """Outings that were entered under the same keys and are found on their day and field no more."""
    rows: dict[object, Hunt] = {}
    for part in portions([outing.key for outing in outings]):
        rows |= {hunt.client_id: hunt for hunt in Hunt.objects.filter(client_id__in=part)}
    return rows


def _would_be(outing: Outing, key: int, codes: dict[int, Iterator[str]], today: date) -> ComingHunt:
    check_day_past(outing.on, today=today)
    boundary = boundary_then(outing.site, outing.on)
    free = codes.get(outing.on.year) or codes.setdefault(outing.on.year, codes_from(outing.on.year))
    outing.hunt = hunt = Hunt(
        pk=key,
        code=next(free),
        title=outing.title,
        on=outing.on,
        starts_at=WHOLE_DAY[0],
        ends_at=WHOLE_DAY[1],
        leader=next(iter(outing.people.values())),
    )
    field = HuntSite(hunt=hunt, site=outing.site, boundary=boundary)
    return ComingHunt(hunt, frozenset(outing.people), (field,))
