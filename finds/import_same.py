"""A row whose find is here already: what the file says that the record does not."""

from decimal import Decimal
from typing import Any

from django.utils.timezone import localtime

from finds.circumstances import NO_PRECIOUS, answers_from
from finds.csv_columns import COLUMNS
from finds.import_plan import Coming
from finds.models import Find
from geo.measure import GEOD
from people.models import User
from people.sensitivity import Precision

_SAME_PLACE_M = 2.0


def differences(row: Coming, by: User) -> list[str]:
    """Names of columns that are filled in the file and say something else than the record. Nothing is changed."""
    find = row.there
    if find is None or find.withdrawn_at is not None:
        return []
    differs = [
        c.name
        for c in COLUMNS
        if c.field and c.name in row.given and _differs(find, c.field, row.given[c.name])
    ]
    others = {
        "hunt": find.hunt_id != row.hunt.pk,
        "finder": find.finder_id != row.finder.pk,
        "site": find.site_id != row.fields["site"].pk,
        "time": "time" in row.given
        and localtime(find.found_at).strftime("%H:%M") != f"{row.given['time']:%H:%M}",
        "weight (g)": "weight (g)" in row.given and find.weight_g != row.fields["weight_g"],
        "materials": "materials" in row.given and _materials(find) != row.materials,
        "circumstances": not _says(find, answers_from(row.given.get("circumstances", []))),
        "no gold or silver": bool(row.given.get("no gold or silver")) and not _says(find, NO_PRECIOUS),
        "position": _is_elsewhere(find, row.fields, by),
    }
    return [*differs, *(name for name, is_other in others.items() if is_other)]


def _differs(find: Find, field: str, value: Any) -> bool:
    return bool(getattr(find, field) != value)


def _materials(find: Find) -> dict[tuple[str, str], Decimal | None]:
    return {(row.material, row.words): row.share_percent for row in find.materials.all()}


def _says(find: Find, answers: dict[str, Any]) -> bool:
    return bool(find.facts.items() >= answers.items())


def _is_elsewhere(find: Find, fields: dict[str, Any], by: User) -> bool:
    """More than 2 m apart; said only of a place that `by` sees in full, and never of a locked one."""
    from finds.points import point_of  # not above: it imports the actions, and they this module

    shown = None if find.locked else point_of(find, by)
    if shown is None or shown.precision is not Precision.FULL or fields.get("lon") is None:
        return False
    metres = GEOD.inv(shown.lon, shown.lat, fields["lon"], fields["lat"])[2]
    return bool(metres > max(_SAME_PLACE_M, (fields["accuracy_m"] or 0) / 2))
