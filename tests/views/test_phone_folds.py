"""Long parts of a page are folded on a phone; the words of the fold say what lies in it, and nothing is left out."""

from datetime import date

import pytest
from django.template.loader import render_to_string

from permissions.gate import Answer, Decision
from permissions.land_page import Month
from reports.blocks import Column, Table


def month(*answers: Answer) -> Month:
    days = [Decision("SF04", date(2026, 12, n + 1), answer) for n, answer in enumerate(answers)]
    return Month(date(2026, 12, 1), [[None, *days[:6]], list(days[6:])])


def shown(month: Month) -> str:
    return render_to_string("permissions/_month.html", {"month": month})


def test_a_month_of_one_answer_is_folded_and_says_it() -> None:
    html = shown(month(*[Answer.SHUT] * 10))
    summary = html.partition("</summary>")[0]
    assert '<details class="phone-fold">' in summary
    assert "December 2026" in summary
    assert "Shut" in summary
    assert html.count('<td class="shut">') == 10


def test_a_month_with_another_day_in_it_stands_open() -> None:
    html = shown(month(*[Answer.SHUT] * 9, Answer.OPEN))
    assert "<details" not in html
    assert html.count("<td class=") == 10


@pytest.mark.parametrize(("rows", "folded"), [(12, False), (13, True)])
def test_a_long_table_of_a_report_is_folded_under_its_caption(rows: int, folded: bool) -> None:
    block = Table("Objects", (Column("Object"), Column("Held by")), [(f"F{n}", "Mo") for n in range(rows)])
    html = render_to_string("reports/_block_table.html", {"block": block})
    assert ('<details class="phone-fold"><summary>Objects' in html) is folded
    assert (f"{rows} lines" in html) is folded
    assert html.count("<details") == html.count("</details>")
    assert all(f"F{n}<" in html for n in range(rows))
