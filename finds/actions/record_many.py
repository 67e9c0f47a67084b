"""Record many finds at once: the same record as finds.actions.record makes, with one write for all of a kind."""

from collections.abc import Sequence
from datetime import datetime

from django.utils.timezone import localtime

from finds.actions.custody import first_holders
from finds.actions.screening_many import screen_new
from finds.actions.suggest_many import suggest_for_new
from finds.described import completed, material_rows
from finds.import_plan import Coming
from finds.models import Find, FindMaterial, FindNumber
from finds.numbers import next_numbers
from people import audit
from people.models import User


def record_many(rows: Sequence[Coming], *, by: User, at: datetime) -> list[Find]:
    """Record the rows of a plan without problems. Inside the transaction that judged them, its hunts locked."""
    numbers = next_numbers([localtime(row.fields["found_at"]).year for row in rows], at=at)
    finds = [_find(row, number, by=by, at=at) for row, number in zip(rows, numbers, strict=True)]
    Find.objects.bulk_create(finds)
    FindMaterial.objects.bulk_create(
        material
        for find, row in zip(finds, rows, strict=True)
        for material in material_rows(find, row.materials)
    )
    first_holders(finds, by=by, at=at)
    audit.record_many("find.record", finds, by=by, at=at)
    screen_new(finds, by=by, at=at)
    suggest_for_new(finds, at=at)
    return finds


def _find(row: Coming, number: tuple[FindNumber, str], *, by: User, at: datetime) -> Find:
    return Find(
        client_id=row.key,
        hunt=row.hunt,
        number_row=number[0],
        number=number[1],
        recorded_at=at,
        recorded_by=by,
        **(row.fields | completed(row.fields, row.fields["site"].jurisdiction)),
    )
