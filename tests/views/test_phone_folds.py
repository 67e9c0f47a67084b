"""Long parts of a page are folded on a phone; the words of the fold say what lies in it, and nothing is left out."""

from datetime import date

import pytest
from django.template.loader import render_to_string

from permissions.gate import Answer, Decision
from permissions.land_page import Month
from reports.blocks import Column, FactList, Heading, Paragraph, Table
from reports.models import OfficerVisitItem
from reports.officer_visit_forms import WentForm
from reports.templatetags.report_blocks import sections
from tests import make


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


OBJECT = [
    Paragraph("What this report says"),
    Heading("F1: buckle"),
    *(
        block
        for title in ("Where it lay", "How it was found", "The object")
        for block in (Heading(title, 3), FactList(()))
    ),
    Table("Custody", (Column("When"),), ()),
    Heading("12. The law and reporting"),
    Paragraph("What the law asks goes first."),
]


def test_an_object_of_a_report_is_folded_under_what_lies_in_it_and_a_clause_is_not() -> None:
    before, found, clause = sections(OBJECT)
    assert (before.heading, before.parts) == (None, [])
    assert found.parts == ["Where it lay", "How it was found", "The object", "Custody"]
    assert (clause.heading, clause.parts) == (OBJECT[-2], [])
    assert [
        block
        for each in (before, found, clause)
        for block in ([each.heading] if each.heading else []) + each.blocks
    ] == OBJECT


@pytest.mark.django_db
def test_each_object_of_a_visit_is_folded_until_something_is_typed_or_wrong_in_it() -> None:
    hunt = make.hunt()
    items = [OfficerVisitItem(find=make.find(hunt, make.person()), condition=said) for said in ("worn", "")]
    fresh = list(WentForm(items=items).parts)
    assert [part.title for part in fresh[1:]] == [f"{items[0].find}: worn", f"{items[1].find}: –"]
    assert [(part.is_folded, part.is_open, part.filled) for part in fresh] == [
        (False, True, []),
        *[(True, False, [])] * 2,
    ]
    typed = WentForm(
        {f"left-{items[1].find_id}": "it was at home", f"condition-{items[0].find_id}": "worn"}, items=items
    )
    assert [part.is_open for part in typed.parts] == [True, False, True]
    assert "it was at home" in render_to_string("_parts/_form.html", {"form": typed})
