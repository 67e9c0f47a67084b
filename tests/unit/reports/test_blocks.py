"""A report is built whole or not at all, and comes back from its JSON the same."""

import hashlib
import json
from dataclasses import FrozenInstanceError, replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reports.blocks import (
    Bullets,
    Column,
    Heading,
    MapBlock,
    Paragraph,
    Photo,
    PhotoGrid,
    Report,
    ReportError,
    Table,
    photo_keys,
)
from reports.content import digest, from_data, to_data, to_json
from tests.unit.reports.sample import EVERY_BLOCK, report

WHOLE = report(*EVERY_BLOCK)


def test_every_block_comes_back_the_same() -> None:
    assert from_data(json.loads(to_json(WHOLE))) == WHOLE
    assert isinstance(from_data(to_data(WHOLE)), Report)


@given(
    st.lists(st.text(max_size=40), max_size=6), st.text(min_size=1, max_size=40).filter(str.strip), st.dates()
)
@settings(max_examples=100, deadline=None)
def test_any_text_comes_back_the_same(items: list[str], title: str, day: date) -> None:
    whole = report(Bullets(tuple(items)), *(Paragraph(item) for item in items), title=title, issued_on=day)
    text = to_json(whole)
    assert text.isascii()
    assert from_data(json.loads(text)) == whole
    assert to_json(from_data(json.loads(text))) == text


def test_hash_is_sha256_of_sorted_json_without_spaces() -> None:
    """Worked out here a second time from RFC 8785's rules, which for text and whole numbers these are."""
    small = report(Heading("Where"))
    written = (
        '{"blocks":[{"block":"Heading","level":2,"text":"Where"}],"club":"Ravensand & District Search Club",'
        '"facts":[{"label":"Site","value":"Long Marsh (RD-07)"},{"label":"People","value":"6"}],"format":1,'
        '"issued_on":"2026-09-14","kind":"visit","language":"en-GB","number":"RD-2026-031",'
        '"subtitle":"Sunday 13 September 2026","title":"Visit to Marsh Farm"}'
    )
    assert to_json(small) == written
    assert digest(small) == hashlib.sha256(written.encode()).hexdigest()


@pytest.mark.parametrize("field", ["number", "title", "subtitle", "club", "kind"])
def test_hash_changes_with_every_word(field: str) -> None:
    assert digest(replace(WHOLE, **{field: "other"})) != digest(WHOLE)


def test_hash_survives_a_database_that_orders_keys_its_own_way() -> None:
    shuffled = dict(reversed(to_data(WHOLE).items()))
    assert digest(from_data(shuffled)) == digest(WHOLE)


def test_report_cannot_be_changed() -> None:
    with pytest.raises(FrozenInstanceError):
        WHOLE.title = "other"  # type: ignore[misc]


def test_photo_keys_are_those_shown() -> None:
    assert photo_keys(WHOLE) == {"coin", "lost"}
    assert photo_keys(report()) == frozenset()


@pytest.mark.parametrize(
    ("build", "says"),
    [
        (lambda: Table("T", (Column("a"), Column("b")), (("1", "2"), ("1",))), "row 2 has 1 cells; give 2"),
        (lambda: Table("T", (), ()), "“T” has no columns"),
        (lambda: Heading("H", 1), "“H” has level 1; give 2 or 3"),
        (lambda: Photo("k", "  "), "'k' has no text for those who cannot see it"),
        (lambda: MapBlock("<svg/>", ""), "no text for those who cannot see it"),
        (lambda: PhotoGrid((), 7), "7 columns; give 1 to 6"),
        (lambda: report(title=" "), "'RD-2026-031' has no title"),
    ],
)
def test_what_could_not_be_read_out_or_drawn_is_refused(build: object, says: str) -> None:
    with pytest.raises(ReportError, match=says):
        build()  # type: ignore[operator]


def spoilt(old: str, new: str) -> str:
    text = to_json(WHOLE)
    assert old in text
    return text.replace(old, new, 1)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[]", "format 'list'"),
        ('{"format":2}', "format 2; this program reads format 1"),
        (
            spoilt('"Heading"', '"Headline"'),
            r"blocks\[3\] is a block of kind 'Headline'; give one of Bullets",
        ),
        (spoilt('"late"', '"lately"'), r"blocks\[0\]\.kind is 'lately'"),
        (spoilt('"2026-09-14"', '"14/09/2026"'), "report.issued_on is '14/09/2026'"),
        (spoilt('"level":2', '"level":2.0'), r"blocks\[3\]\.level is 2\.0; give int"),
        (spoilt('"numeric":true', '"numeric":1'), "numeric is 1; give bool"),
        (spoilt('"club"', '"klub"'), "missing or unknown fields: club, klub"),
        (spoilt('"items":["First","Second"]', '"items":"First"'), r"items is str; give a list"),
        (
            spoilt('"facts":[{"label":"Site","value":"Long Marsh (RD-07)"}', '"facts":["Site"'),
            "give an object",
        ),
        (spoilt('["1","12","yes"]', '["1","12"]'), "row 1 has 2 cells; give 3"),
    ],
)
def test_content_that_is_no_report_is_refused_by_place(text: str, says: str) -> None:
    with pytest.raises(ReportError, match=says):
        from_data(json.loads(text))
