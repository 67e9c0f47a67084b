"""One table as a CSV file (RFC 4180) that a spreadsheet opens safely and that says exactly what the rows said."""

import csv
import io
import json
import math
import re
from base64 import b64encode
from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime
from decimal import Decimal
from typing import IO, Any

from django.db import models
from django.utils.translation import gettext as _

from keeping.cells import Field
from keeping.errors import KeepingError
from keeping.kinds import Kind
from keeping.tables import Row
from web.csv_safe import Cell, csv_lines, plain_text

LONGEST_CELL = 2**31 - 1
# What a spreadsheet may run can only stand inside a string of a JSON text, where it has another spelling.
_RISK_IN_JSON = re.compile(r"(?<=[;|\"])( *)([=+\-@])")


def base_of(field: Field) -> Field:
    """The field that says what stands in the column: for a relation that of the row it points at."""
    while field.remote_field is not None:
        field = field.target_field  # type: ignore[attr-defined]
    return field


def cell_of(field: Field, value: Any) -> Cell:
    """What stands in the cell. An empty cell is an empty text in a column of text, and nothing in any other."""
    if isinstance(field, models.JSONField):
        return "" if value is None and field.null else _json(value)
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, bytes | memoryview):
        return bytes(value).hex()
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat().replace("+00:00", "Z")
    if isinstance(value, float) and not math.isfinite(value):
        return str(value).upper().replace("NAN", "NaN")
    return value if isinstance(value, int | float | Decimal) else str(value)


def _json(value: Any) -> str:
    text = json.dumps(value, separators=(",", ":"))
    return _RISK_IN_JSON.sub(lambda found: f"{found[1]}\\u{ord(found[2]):04x}", text)


def lines_of(kind: Kind, rows: Iterable[Row]) -> Iterator[str]:
    """The file's lines, the head first."""
    fields = kind.fields
    return csv_lines(fields, ([cell_of(field, row[name]) for name, field in fields.items()] for row in rows))


READERS: list[tuple[type[Field], Callable[[str], Any]]] = [
    (models.BooleanField, {"true": True, "false": False}.__getitem__),
    (models.BinaryField, lambda text: b64encode(bytes.fromhex(text)).decode("ascii")),
    (models.JSONField, json.loads),
    (models.FloatField, float),
    (models.IntegerField, int),
]
TEXT = (models.CharField, models.TextField, models.FileField)


def value_of(field: Field, cell: str) -> Any:
    """What `keeping.cells.encode` gives for the value that stands in the cell. Raises ValueError or KeyError."""
    field = base_of(field)
    text = plain_text(cell)
    if isinstance(field, models.BinaryField) and not field.null:
        return READERS[1][1](text)
    if text == "" and not isinstance(field, TEXT):
        return None
    return next((read(text) for kind, read in READERS if isinstance(field, kind)), text)


def read_lines(kind: Kind, file: IO[bytes]) -> Iterator[Row]:
    """The rows of a file, with values as JSON would have them. Raises KeepingError naming the line."""
    csv.field_size_limit(LONGEST_CELL)
    lines = csv.reader(io.TextIOWrapper(file, encoding="utf-8-sig", newline=""))
    names = [plain_text(name) for name in next(lines, [])]
    if set(names) != kind.fields.keys():
        odd = ", ".join(sorted(set(names) ^ kind.fields.keys()))
        raise KeepingError(
            _("%(kind_label)s.csv has other columns than this program knows: %(odd)s.")
            % {"kind_label": kind.label, "odd": odd}
        )
    for cells in lines:
        try:
            yield {name: value_of(kind.fields[name], cell) for name, cell in zip(names, cells, strict=True)}
        except (ValueError, KeyError) as error:
            raise KeepingError(
                _("%(kind_label)s.csv, line %(lines_line_num)s: %(error)s cannot be read.")
                % {"kind_label": kind.label, "lines_line_num": lines.line_num, "error": error}
            ) from error
