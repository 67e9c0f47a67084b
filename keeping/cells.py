"""Values of a row as JSON has them, back again, and as one spelling that both databases agree on."""

import json
import math
from base64 import b64decode, b64encode
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import TYPE_CHECKING, Any
from uuid import UUID

from django.db import models

if TYPE_CHECKING:
    Field = models.Field[Any, Any]
else:
    Field = models.Field


def encode(value: Any) -> Any:
    """A column's value as JSON can hold it without loss; a document of a JSON column stands as it is."""
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, bytes | memoryview):
        return b64encode(bytes(value)).decode("ascii")
    if isinstance(value, Decimal | UUID):
        return str(value)
    return value


DECODERS: list[tuple[type[Field], Callable[[Any], Any]]] = [
    (models.BinaryField, lambda text: b64decode(text, validate=True)),
    (models.DateTimeField, datetime.fromisoformat),
    (models.DateField, date.fromisoformat),
    (models.TimeField, time.fromisoformat),
    (models.DecimalField, Decimal),
    (models.UUIDField, UUID),
    (models.FloatField, float),
]


def decode(field: Field, value: Any) -> Any:
    """The value that `encode` was given. Raises ValueError, TypeError or ArithmeticError for anything else."""
    if value is None:
        is_document = isinstance(field, models.JSONField) and not field.null
        return models.Value(None, models.JSONField()) if is_document else None
    for kind, convert in DECODERS:
        if isinstance(field, kind):
            return convert(value)
    return value


def canonical(field: Field, value: Any) -> Any:
    """What `encode` gives, in the one spelling that SQLite and PostgreSQL have in common."""
    if value is None:
        return None
    if isinstance(field, models.JSONField):
        return _numbers(value)
    if isinstance(field, models.FloatField):
        return encode(float(value) + 0.0)  # SQLite keeps no negative zero
    if isinstance(field, models.DecimalField):
        return str(Decimal(value).quantize(Decimal(1).scaleb(-(field.decimal_places or 0))))
    return encode(value)


def _numbers(document: Any) -> Any:
    """A JSON document with whole numbers written whole: PostgreSQL gives 1e22 back as an integer."""
    if isinstance(document, float) and document.is_integer():
        return int(document)
    if isinstance(document, list):
        return [_numbers(each) for each in document]
    if isinstance(document, dict):
        return {key: _numbers(each) for key, each in document.items()}
    return document


def line_of(values: Any) -> bytes:
    """One row in its one spelling: what is hashed."""
    return json.dumps(values, sort_keys=True, separators=(",", ":")).encode("ascii") + b"\n"
