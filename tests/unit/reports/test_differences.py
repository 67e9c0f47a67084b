"""Two issues of a report side by side: every change is named in words, and nothing else is."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reports.blocks import (
    Bullets,
    Column,
    Fact,
    FactList,
    Heading,
    MapBlock,
    Notice,
    NoticeKind,
    Paragraph,
    Photo,
    PhotoGrid,
    Table,
)
from reports.differences import Piece, What, differences, word_by_word
from tests.unit.reports.sample import EVERY_BLOCK, SVG, report

BEFORE = report(
    Heading("F2026-0012: coin"),
    Heading("How it was found", 3),
    FactList((Fact("Depth", "12 cm"), Fact("Land use", "stubble"))),
    Paragraph("A worn penny."),
    PhotoGrid((Photo("find-1", "coin, face"),)),
    Table("Custody", (Column("When"), Column("To")), (("1 Nov", "Mo"),)),
)


def changes(before, after):
    return [
        (section.title, change.what, change.label, change.was, change.now)
        for section in differences(before, after)
        for change in section.changes
    ]


def test_the_same_report_has_no_differences() -> None:
    whole = report(*EVERY_BLOCK)
    assert differences(whole, whole) == []


def test_number_and_day_alone_are_no_difference() -> None:
    assert (
        differences(BEFORE, replace(BEFORE, number="A-2", issued_on=BEFORE.issued_on.replace(day=20))) == []
    )


def test_a_changed_figure_is_told_with_its_place_and_both_values() -> None:
    facts = FactList((Fact("Depth", "18 cm"), Fact("Land use", "stubble")))
    after = replace(BEFORE, blocks=(*BEFORE.blocks[:2], facts, *BEFORE.blocks[3:]))
    assert changes(BEFORE, after) == [
        ("F2026-0012, how it was found", What.CHANGED, "Depth", "12 cm", "18 cm")
    ]


def test_an_object_with_a_new_name_is_changed_and_not_removed_and_added() -> None:
    after = replace(BEFORE, blocks=(Heading("F2026-0012: token"), *BEFORE.blocks[1:]))
    assert changes(BEFORE, after) == [
        ("F2026-0012", What.CHANGED, "Heading", "F2026-0012: coin", "F2026-0012: token")
    ]


def test_what_is_gone_and_what_is_new_are_told_apart() -> None:
    after = replace(BEFORE, blocks=(*BEFORE.blocks[:4], *BEFORE.blocks[5:], Bullets(("A second point",))))
    said = changes(BEFORE, after)
    assert ("F2026-0012, how it was found", What.REMOVED, "Photograph 1", "coin, face", "") in said
    assert ("F2026-0012, how it was found", What.ADDED, "Point", "", "A second point") in said
    assert len(said) == 2


def test_a_new_row_of_a_table_is_told_under_its_first_cell() -> None:
    table = Table("Custody", (Column("When"), Column("To")), (("1 Nov", "Mo"), ("3 Nov", "Ida Drift")))
    assert changes(BEFORE, replace(BEFORE, blocks=(*BEFORE.blocks[:-1], table))) == [
        ("F2026-0012, how it was found", What.ADDED, "Custody, 3 Nov", "", "To: Ida Drift")
    ]


def test_rows_that_begin_alike_are_kept_apart() -> None:
    one = report(Table("T", (Column("A"), Column("B")), (("x", "1"), ("x", "2"))))
    two = report(Table("T", (Column("A"), Column("B")), (("x", "1"), ("x", "3"))))
    assert changes(one, two) == [("The report", What.CHANGED, "T, x (2)", "B: 2", "B: 3")]


def test_the_head_of_the_report_is_compared_as_well() -> None:
    after = replace(BEFORE, facts=(Fact("Site", "Long Marsh (RD-07)"), Fact("People", "7")), title="Other")
    assert {(what, label) for _, what, label, _, _ in changes(BEFORE, after)} == {
        (What.CHANGED, "People"),
        (What.CHANGED, "Title"),
    }


def test_notices_and_maps_are_compared() -> None:
    one = report(Notice(NoticeKind.LATE, "Late."), MapBlock(SVG, "Map"))
    two = report(Notice(NoticeKind.LATE, "Very late."), MapBlock(SVG.replace("40", "41"), "Map"))
    assert [label for _, _, label, _, _ in changes(one, two)] == ["Overdue", "Drawing of the map"]


@pytest.mark.parametrize("index", range(len(EVERY_BLOCK)))
def test_no_kind_of_block_is_overlooked(index: int) -> None:
    """Each block taken away is told, but for page breaks, which say nothing."""
    whole = report(*EVERY_BLOCK)
    without = report(*EVERY_BLOCK[:index], *EVERY_BLOCK[index + 1 :])
    assert bool(differences(whole, without)) == (type(EVERY_BLOCK[index]).__name__ != "PageBreak")


@given(was=st.text(max_size=120), now=st.text(max_size=120))
@settings(max_examples=200, deadline=None)
def test_the_parts_give_both_texts_again(was: str, now: str) -> None:
    """Nothing is lost on the way: same and gone are the earlier text, same and new the later one."""
    parts = word_by_word(was, now)
    assert "".join(part.text for part in parts if part.piece is not Piece.NEW) == was
    assert "".join(part.text for part in parts if part.piece is not Piece.GONE) == now


def test_a_very_long_text_is_shown_whole_before_and_after() -> None:
    was = "word " * 5000
    assert [part.piece for part in word_by_word(was, was + "more")] == [Piece.GONE, Piece.NEW]
