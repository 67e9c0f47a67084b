"""Reports held against PDF/UA-1 (ISO 14289-1:2014) by a checker that is not ours.

The checker is page-validation (MIT, no Java; its authors say that it passes the corpus of veraPDF). It judges what a
machine can: whether words of a picture are good ones stays for people. veraPDF itself is Java and not in the registries
this project installs from.
"""

import page
import pytest

from reports.blocks import Block, Column, MapBlock, Photo, PhotoGrid, PhotoPair, Table
from reports.charts import bar_chart
from reports.pdf import render_pdf
from tests.unit.reports.sample import EVERY_BLOCK, HOSTILE, PHOTOS, hostile, report

SCRIPTS = "שלום عربي हिन्दी ไทย 漢字 Київ Ελλάδα 🎉 Ŵyn"
CHART = MapBlock(bar_chart([("button", 3), (SCRIPTS, 2)], title="Finds"), "Bar chart: finds")
MANY: tuple[Block, ...] = (
    Table("Holes", (Column("Hole"), Column("Where")), tuple((str(n), "TA 1") for n in range(400))),
    PhotoGrid(tuple(Photo("coin", f"Hole {n}", f"Hole {n}") for n in range(200)), 4),
    *(PhotoPair(f"Hole {n}", Photo("coin", "Open"), None) for n in range(20)),
)
LONG = "a word of 5,000 letters"  # ten seconds by itself
CASES = {
    "every block": report(*EVERY_BLOCK),
    "nothing": report(),
    "a chart": report(CHART),
    "markup": hostile(HOSTILE),
    "every script": hostile(SCRIPTS),
    LONG: hostile("x" * 5000),
    "many rows and pictures": report(*MANY),
}


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=pytest.mark.long if name == LONG else ()) for name in CASES]
)
def test_an_independent_checker_finds_nothing_against_pdf_ua_1(name: str) -> None:
    said = page.validate_pdf_bytes(render_pdf(CASES[name], PHOTOS), profile="ua1")
    assert [(each.rule_id, each.message) for each in said.failures] == []
    assert said.is_compliant
    assert said.rules.total > 100


def test_the_checker_notices_what_is_missing() -> None:
    pdf = render_pdf(report(*EVERY_BLOCK), PHOTOS)
    broken = pdf.replace(b"/Marked true", b"/Marked fals")
    assert broken != pdf
    assert not page.validate_pdf_bytes(broken, profile="ua1").is_compliant
