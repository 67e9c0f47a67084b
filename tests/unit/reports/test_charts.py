"""Bars are as long as their numbers say, every number is written out, and hostile labels stay words."""

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reports.blocks import MapBlock, ReportError
from reports.charts import LEFT, RIGHT, WIDTH, bar_chart, bars_in_words, number_words
from reports.pdf import render
from tests.unit.reports.sample import HOSTILE, report

SVG = "{http://www.w3.org/2000/svg}"


def bars_of(svg: str) -> list[float]:
    """The widths of the drawn bars, paper left out."""
    rects = ET.fromstring(svg).findall(f"{SVG}rect")
    return [float(rect.get("width", 0)) for rect in rects if rect.get("x")]


def words_of(svg: str) -> list[str]:
    return [text.text or "" for text in ET.fromstring(svg).iter(f"{SVG}text")]


def test_the_longest_bar_fills_the_width_and_half_of_it_is_half_as_long() -> None:
    svg = bar_chart([("button", 8), ("buckle", 4), ("none", 0)], title="Finds")
    assert bars_of(svg) == pytest.approx([WIDTH - LEFT - RIGHT, (WIDTH - LEFT - RIGHT) / 2])
    assert words_of(svg) == ["button", "8", "buckle", "4", "none", "0"]


@given(st.lists(st.tuples(st.text(max_size=40), st.integers(0, 10_000)), min_size=1, max_size=20))
def test_any_words_and_numbers_give_well_formed_svg_within_its_paper(bars: list[tuple[str, float]]) -> None:
    root = ET.fromstring(bar_chart(bars, title="t"))
    for rect in root.findall(f"{SVG}rect"):
        assert float(rect.get("x", 0)) + float(rect.get("width", 0)) <= WIDTH + 0.01
    assert len(list(root.iter(f"{SVG}text"))) == 2 * len(bars)


def test_hostile_labels_are_words_and_the_pdf_stays_pdf_ua() -> None:
    svg = bar_chart([(HOSTILE, 1), ("שלום 🎉 漢字", 2), ("x" * 400, 3)], title=HOSTILE)
    assert "<script" not in svg
    assert render(report(MapBlock(svg, "Finds by period")), {}).is_ua


def test_no_bars_and_bars_below_zero_are_refused_by_name() -> None:
    with pytest.raises(ReportError, match="has no bars"):
        bar_chart([], title="Finds")
    with pytest.raises(ReportError, match="below zero \\(loss\\)"):
        bar_chart([("loss", -1)], title="Finds")


def test_a_picture_is_told_in_words() -> None:
    assert bars_in_words([("a", 5), ("b", 4), ("c", 3)], shown=2) == "a 5, b 4 and 1 more"
    assert bars_in_words([("a", 1204)]) == "a 1,204"
    assert number_words(3.25) == "3.2"
