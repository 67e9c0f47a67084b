"""What a row says comes back from JSON and from CSV as it was, whatever it says."""

import json
from base64 import b64encode
from collections.abc import Iterable
from datetime import UTC, datetime
from decimal import Decimal
from io import BytesIO
from typing import Any

import pytest
from django.db import models
from hypothesis import given, settings
from hypothesis import strategies as st

from finds.models import Find
from hunts.models import PhotoDraft
from keeping.cells import canonical, decode, encode, line_of
from keeping.errors import KeepingError
from keeping.kinds import Kind, kinds
from keeping.sheets import cell_of, lines_of, read_lines, value_of
from web.csv_safe import safe_cell

TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=40) | st.text(
    "=+-@'\";|\t\r\n ,a", max_size=12
)
DOCUMENT = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=8,
)
VALUES: dict[type[models.Field], tuple[models.Field, st.SearchStrategy]] = {
    models.TextField: (models.TextField(), TEXT),
    models.JSONField: (models.JSONField(), DOCUMENT.filter(lambda value: value is not None)),
    models.BinaryField: (models.BinaryField(), st.binary(max_size=40)),
    models.FloatField: (models.FloatField(null=True), st.none() | st.floats(allow_nan=False)),
    models.IntegerField: (models.IntegerField(null=True), st.none() | st.integers(-(2**40), 2**40)),
    models.BooleanField: (models.BooleanField(null=True), st.none() | st.booleans()),
    models.DecimalField: (
        models.DecimalField(max_digits=12, decimal_places=2, null=True),
        st.none()
        | st.decimals(allow_nan=False, allow_infinity=False, places=2, min_value=-(10**6), max_value=10**6),
    ),
    models.UUIDField: (models.UUIDField(null=True), st.none() | st.uuids()),
    models.DateTimeField: (models.DateTimeField(null=True), st.none() | st.datetimes(timezones=st.just(UTC))),
    models.DateField: (models.DateField(null=True), st.none() | st.dates()),
    models.TimeField: (models.TimeField(null=True), st.none() | st.times()),
}


@pytest.mark.parametrize("kind", VALUES, ids=lambda kind: kind.__name__)
def test_a_value_comes_back_from_json_and_from_a_cell(kind: type[models.Field]) -> None:
    field, values = VALUES[kind]

    @settings(max_examples=60)
    @given(values)
    def comes_back(value: Any) -> None:
        encoded = json.loads(json.dumps(encode(value)))
        assert decode(field, encoded) == value
        cell = str(safe_cell(cell_of(field, value)))
        assert decode(field, value_of(field, cell)) == value

    comes_back()


@settings(max_examples=40)
@given(st.lists(TEXT, max_size=3))
def test_a_table_comes_back_from_a_file(texts: list[str]) -> None:
    kind = Kind(Find)
    rows = [dict.fromkeys(kind.fields) | {"description": text} for text in texts]
    file = BytesIO("".join(lines_of(kind, rows)).encode())
    assert [row["description"] for row in read_lines(kind, file)] == texts


def test_a_file_with_other_columns_is_refused_by_name() -> None:
    with pytest.raises(KeepingError, match=r"hunts\.photodraft\.csv has other columns.*: .*extra"):
        list(read_lines(Kind(PhotoDraft), BytesIO(b"id,extra\r\n1,2\r\n")))


def test_a_cell_that_cannot_be_read_is_named_by_its_line() -> None:
    kind = Kind(PhotoDraft)
    lines = [",".join(kind.fields), ",".join("x" for _ in kind.fields)]
    with pytest.raises(KeepingError, match="line 2"):
        list(read_lines(kind, BytesIO("\r\n".join(lines).encode())))


@pytest.mark.parametrize(
    ("field", "one", "other"),
    [
        (
            models.JSONField(),
            {"a": 1e22, "b": -0.0},
            {"b": 0, "a": 10**22},
        ),  # jsonb sorts keys and keeps numerics
        (models.FloatField(), -0.0, 0.0),  # SQLite keeps no negative zero
        (models.DecimalField(max_digits=9, decimal_places=2), Decimal("1.5"), Decimal("1.50")),
        (models.BinaryField(), memoryview(b"ab"), b"ab"),  # psycopg gives a view
        (
            models.DateTimeField(),
            datetime.fromisoformat("2026-06-01T10:00:00+00:00"),
            datetime.fromisoformat("2026-06-01T11:00:00+01:00"),
        ),
    ],
)
def test_what_two_databases_spell_differently_has_one_hash(field: models.Field, one: Any, other: Any) -> None:
    assert line_of(canonical(field, one)) == line_of(canonical(field, other))


@pytest.mark.parametrize(
    ("one", "other"), [({"a": 1}, {"a": "1"}), ([1, 2], [2, 1]), ({"a": None}, {}), ("", " ")]
)
def test_what_differs_has_another_hash(one: Any, other: Any) -> None:
    assert line_of(canonical(models.JSONField(), one)) != line_of(canonical(models.JSONField(), other))


def fields() -> Iterable[tuple[str, models.Field]]:
    return ((f"{label}.{name}", f) for label, kind in kinds().items() for name, f in kind.fields.items())


def test_no_column_of_text_may_be_null() -> None:
    """In a CSV file an empty cell is an empty text there, and nothing in every other kind of column."""
    text = (models.CharField, models.TextField, models.FileField)
    assert [name for name, field in fields() if isinstance(field, text) and field.null] == []


def test_bytes_may_not_be_changed_on_the_way() -> None:
    with pytest.raises(ValueError, match="base64"):
        decode(models.BinaryField(), b64encode(b"abc").decode() + "*")
