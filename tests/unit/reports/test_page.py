"""The same blocks as a page: semantic, escaped, and within the content security policy."""

import re
from html.parser import HTMLParser
from typing import get_args
from urllib.parse import unquote

import pytest
from django.template.loader import get_template, render_to_string

from reports.blocks import Block, MapBlock, Notice, NoticeKind, Photo, PhotoGrid, PhotoPair, Report, Table
from reports.templatetags.report_blocks import fragment, svg_image
from tests.unit.reports.sample import EVERY_BLOCK, HOLES, SVG, hostile, report

VOID = {"img", "br", "meta", "link", "input", "hr"}


class Elements(HTMLParser):
    """Every start tag with its attributes, and a check that each is closed in order."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.feed(html)
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.seen if name == tag]


def page(shown: Report, **photo_urls: str) -> str:
    return render_to_string("reports/_blocks.html", {"report": shown, "photo_urls": photo_urls})


def text_of(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


@pytest.mark.parametrize("kind", get_args(Block), ids=lambda kind: kind.__name__)
def test_every_kind_of_block_has_its_template(kind: type) -> None:
    assert get_template(fragment(kind.__new__(kind)))


def test_every_word_of_every_block_is_there() -> None:
    text = text_of(page(report(*EVERY_BLOCK), coin="/p/coin"))
    for expected in (
        "Visit to Marsh Farm", "RD-2026-031", "Long Marsh (RD-07)", "Overdue: Report to the coroner", "Caution",
        "Still open", "North is up.", "A new paragraph.", "Weather", "Depth, cm", "Depths to the nearest centimetre.",
        "Find 012", "Photograph not available: A buckle", "Filled : no photograph".replace(" :", ":"), "Second",
        "Received with thanks.", "For the landholder", "Signature", "Issued 14 September 2026",
    ):  # fmt: skip
        assert expected in text, expected


def test_table_has_a_caption_and_heads_with_scope() -> None:
    elements = Elements(page(report(HOLES)))
    assert len(elements.named("caption")) == 1
    assert [th["scope"] for th in elements.named("th")] == ["col", "col", "col", "row", "row"]
    assert [td.get("class") for td in elements.named("td")] == ["number", None, "number", None]


def test_empty_table_says_so() -> None:
    assert "Nothing to list." in text_of(page(report(Table("T", HOLES.columns, ()))))


def test_headings_start_with_one_title_and_follow_in_order() -> None:
    levels = [tag for tag, _ in Elements(page(report(*EVERY_BLOCK))).seen if re.fullmatch("h[1-6]", tag)]
    assert levels == ["h1", "h2", "h3", "h3"]


def test_photographs_have_words_and_come_only_from_the_given_addresses() -> None:
    shown = report(
        PhotoGrid((Photo("coin", "A coin", "Find 1"), Photo("lost", "A buckle"))), PhotoPair("H", None, None)
    )
    elements = Elements(page(shown, coin="/photos/7"))
    assert [(img["src"], img["alt"]) for img in elements.named("img")] == [("/photos/7", "A coin")]
    assert len(elements.named("figcaption")) == 1


@pytest.mark.parametrize(("kind", "word"), [(k, k.word) for k in NoticeKind])
def test_notice_is_a_note_with_its_word_written_out(kind: NoticeKind, word: str) -> None:
    html = page(report(Notice(kind, "Text.")))
    assert any(div.get("role") == "note" for div in Elements(html).named("div"))
    assert word in text_of(html)


def test_map_is_an_image_whose_address_holds_the_whole_svg() -> None:
    (img,) = Elements(page(report(MapBlock(SVG, "Map of the marsh")))).named("img")
    assert img["alt"] == "Map of the marsh"
    assert str(img["src"]).startswith("data:image/svg+xml")
    assert unquote(str(img["src"]).split(",", 1)[1]) == SVG


def test_words_of_others_stay_words() -> None:
    html = page(hostile(), coin="/p/coin")
    elements = Elements(html)
    assert elements.named("script") == []
    assert html.count("&lt;script&gt;") >= 15


def test_page_stays_within_the_content_security_policy() -> None:
    """No inline script, style or handler: the site's policy allows none (config/settings.py)."""
    for tag, attrs in Elements(page(report(*EVERY_BLOCK), coin="/p/coin")).seen:
        assert tag not in ("script", "style", "svg")
        assert not any(name == "style" or name.startswith("on") for name in attrs)


def test_svg_address_ends_no_attribute() -> None:
    assert not set(svg_image("<svg a=\"1\" b='2'>& #</svg>")) & set("\"'<>& #")
