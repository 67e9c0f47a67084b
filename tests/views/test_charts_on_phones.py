"""The letters of every chart are at least 12 px high where a phone of 360 px shows it, which leaves it 328 px."""

import re
from pathlib import Path

import pytest

from finds.pattern_charts import WIDE
from reports.charts import bar_chart

ROOT = Path(__file__).resolve().parents[2]
SHOWN, LEGIBLE = 328, 12
CHARTS = {
    "finds/_bars.html": 420,
    "finds/_dates.html": WIDE,
    "hunts/_readings_chart.html": 400,
}


@pytest.mark.parametrize("name", CHARTS)
def test_a_chart_of_a_page_is_legible(name: str) -> None:
    text = (ROOT / "templates" / name).read_text()
    (wide,) = re.findall(r'viewBox="0 0 (\S+|\{\{.*?\}\}) \{\{', text)
    assert wide in (str(CHARTS[name]), "{{ columns.wide }}")
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', text)]
    assert sizes
    assert min(sizes) * SHOWN / CHARTS[name] >= LEGIBLE


def test_every_chart_with_letters_is_among_them() -> None:
    drawn = [path for path in (ROOT / "templates").rglob("*.html") if re.search(r"<text\b", path.read_text())]
    assert {str(path.relative_to(ROOT / "templates")) for path in drawn} == CHARTS.keys()


def test_a_chart_of_a_report_is_legible() -> None:
    svg = bar_chart([("August", 4), ("W" * 40, 2)], title="Visits by month")
    (wide,) = re.findall(r'viewBox="0 0 (\d+) ', svg)
    assert (
        min(float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)) * SHOWN / int(wide) >= LEGIBLE
    )
