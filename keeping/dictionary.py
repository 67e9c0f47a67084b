"""The data dictionary of an export: every table and column described as CSV on the Web asks.

Source: W3C Recommendation, Metadata Vocabulary for Tabular Data, 17 December 2015: table groups, schemas with
foreign keys, columns with null, required and datatype.
"""

from typing import Any

from django.db import models

from keeping.cells import Field
from keeping.kinds import Kind
from keeping.sheets import TEXT, base_of

DATATYPES: list[tuple[type[Field], str]] = [
    (models.BooleanField, "boolean"),
    (models.IntegerField, "integer"),
    (models.FloatField, "double"),
    (models.DecimalField, "decimal"),
    (models.DateTimeField, "dateTime"),
    (models.DateField, "date"),
    (models.TimeField, "time"),
    (models.BinaryField, "hexBinary"),
    (models.JSONField, "json"),
]


def metadata(tables: dict[str, Kind]) -> dict[str, Any]:
    """The content of csv-metadata.json for these tables."""
    return {
        "@context": ["http://www.w3.org/ns/csvw", {"@language": "en"}],
        "tables": [_table(kind, tables) for kind in tables.values()],
    }


def url_of(label: str) -> str:
    return f"tables/{label}.csv"


def _table(kind: Kind, tables: dict[str, Kind]) -> dict[str, Any]:
    meta = kind.model._meta
    return {
        "url": url_of(kind.label),
        "dc:title": str(meta.verbose_name_plural),
        "dc:description": (kind.model.__doc__ or "").strip().partition("\n")[0],
        "tableSchema": {
            "columns": [_column(name, field) for name, field in kind.fields.items()],
            "primaryKey": kind.pk,
            "foreignKeys": [
                {
                    "columnReference": name,
                    "reference": {"resource": url_of(other), "columnReference": field.target_field.attname},
                }
                for name, field in kind.fields.items()
                if isinstance(field, models.ForeignKey)
                and (other := field.related_model._meta.label_lower) in tables
            ],
        },
    }


def _column(name: str, field: Field) -> dict[str, Any]:
    base = base_of(field)
    is_text = isinstance(base, TEXT)
    words = [str(field.help_text)] if field.help_text else []
    if field.choices:
        words.append("; ".join(f"{value} = {label}" for value, label in field.flatchoices if value != ""))
    return {
        "name": name,
        "titles": name,
        "dc:title": str(field.verbose_name),
        **({"dc:description": ". ".join(words)} if words else {}),
        "datatype": next((word for kind, word in DATATYPES if isinstance(base, kind)), "string"),
        "required": not field.null and not is_text,
        **({"null": []} if is_text else {}),  # an empty text is a text
    }
