"""A form sent twice makes one row: every created record carries the key that its form was given."""

import uuid
from typing import TypeVar

from django.db import models

M = TypeVar("M", bound=models.Model)


class OnceModel(models.Model):
    """Mixin: `client_id` is chosen before the row exists (by the form or the phone) and is unique."""

    client_id = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)

    class Meta:
        abstract = True


def made_before(rows: models.QuerySet[M], client_id: uuid.UUID) -> M | None:
    """The row with this key, or None. Nearly every key is new: first it is asked whether it is there at all."""
    made = rows.filter(client_id=client_id)
    return made.first() if made.exists() else None
