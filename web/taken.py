"""Create a row once: the same key gives the row that is there, and a name already taken is said in words."""

from typing import Any, TypeVar

from django.db import IntegrityError, models, transaction
from django.utils.translation import gettext as _

from web.once import made_before

M = TypeVar("M", bound=models.Model)


class TakenError(Exception):
    """Something that must be unique belongs to another record already."""

    def __init__(self, field: str, value: str) -> None:
        self.field, self.value = field, value
        super().__init__(
            _("“%(value)s” belongs to another record already; choose another.") % {"value": value}
        )


def create_once(model: type[M], *, unique: str = "", **fields: Any) -> tuple[M, bool]:
    """Return the row with `fields["client_id"]` and whether it was made now.

    `unique` names a field that two rows may not share. Raises TakenError with its value when another row has it,
    also when the other was written a moment ago by somebody else.
    """
    rows = model._default_manager
    found = made_before(rows.all(), fields["client_id"])
    if found is not None:
        return found, False
    try:
        with transaction.atomic():
            return rows.create(**fields), True
    except IntegrityError as error:
        found = rows.filter(client_id=fields["client_id"]).first()
        if found is not None:
            return found, False
        if unique and rows.filter(**{unique: fields[unique]}).exists():
            raise TakenError(unique, str(fields[unique])) from error
        raise
