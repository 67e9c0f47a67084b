"""A club's own workbook as it lies in the drawer: no codes, acres, one insurer for all, and sheets in any order."""

from decimal import Decimal

import pytest

from people.import_fields import MEMBER_FIELDS
from people.models import User
from permissions.import_codes import initials
from permissions.import_fields import LANDHOLDER_FIELDS, SITE_FIELDS
from permissions.models import Site
from tests import make
from tests.actions.test_table_imports import brought, sent, words
from web.tables.guess import Guesser, best_sheet
from web.tables.values import DAY_FIRST, MONTH_FIRST, proven_order

pytestmark = [pytest.mark.django_db, pytest.mark.once]
FIELDS = b"Field name,Farmer,Size (acres)\nLong Sixteen,Mo Warp,16\nLong Strip,,2\nFoxsand,,3\n"
BOOK = [
    ("Members", [(1, ["SALTMERE"]), (3, ["Member's name", "e-mail", "Tel. no.", "Joined", "Paid until"])]),
    ("Farmers", [(1, ["Farmer", "Farm", "Phone", "E mail", "Address"])]),
    ("Fields", [(1, ["Field name", "Farmer", "Grid ref.", "Size (acres)", "Crop"])]),
]


@pytest.fixture(autouse=True)
def _club(db: None) -> None:
    make.club()


def test_fields_without_codes_get_one_each_and_the_same_again(secretary: User) -> None:
    make.landholder(name="Mo Warp")
    make.site(code="LS1")
    brought(FIELDS.decode(), "sites", secretary)
    named = dict(Site.objects.exclude(code="LS1").values_list("name", "code"))
    assert named == {"Long Sixteen": "LS2", "Long Strip": "LS3", "Foxsand": "FO1"}
    _key, again = sent(FIELDS, "sites", secretary)
    assert (words(again), again.new) == ([], [])


def test_a_tenant_in_the_table_settles_that_the_field_is_let(secretary: User) -> None:
    make.landholder(name="Mo Warp")
    brought(FIELDS.decode(), "sites", secretary)
    assert dict(Site.objects.values_list("name", "tenure"))["Long Sixteen"] == "let"
    assert dict(Site.objects.values_list("name", "tenure"))["Foxsand"] == "unknown"


def test_one_name_twice_without_codes_is_refused(secretary: User) -> None:
    _key, plan = sent(b"Field name,Parish\nFoxsand,A\nFoxsand,B\n", "sites", secretary)
    assert "neither has a code" in words(plan)[0][2]


def test_acres_are_held_against_the_boundary_as_acres(secretary: User) -> None:
    # 180 m by 180 m on the National Grid are 3.24 ha, 8.0 acres (ACRE_M2: 4840 square yards of 0.9144 m).
    corners = "TA 4750 1530; TA 4768 1530; TA 4768 1548; TA 4750 1548"
    rows = f"Field name,Boundary,Size (acres)\nRight,{corners},8\nWrong,{corners},16\n"
    _key, plan = sent(rows.encode(), "sites", secretary)
    warned = {row.title: row.warnings for row in plan.new}
    assert not any("The file says" in text for text in warned["RI1 Right"])
    said = Decimal(16) * Decimal("0.40468564224")
    assert any(f"The file says {said:.1f} ha" in text for text in warned["WR1 Wrong"])


def test_one_insurer_may_be_named_for_all(secretary: User) -> None:
    rows = "Name,E-mail,Insured to\nMo,mo@x.example,30 June 2027\n"
    brought(rows, "members", secretary, insurer="Field Cover")
    cover = User.objects.get(email="mo@x.example").insurances.get()
    assert (cover.insurer, cover.ends.isoformat()) == ("Field Cover", "2027-06-30")


@pytest.mark.parametrize(
    ("fields", "sheet"),
    [(MEMBER_FIELDS, "Members"), (LANDHOLDER_FIELDS, "Farmers"), (SITE_FIELDS, "Fields")],
)
def test_the_sheet_that_fits_is_chosen_first(fields: tuple, sheet: str) -> None:
    assert best_sheet(Guesser(fields), BOOK) == sheet


def test_acres_are_not_taken_for_hectares() -> None:
    guesser = Guesser(SITE_FIELDS)
    assert guesser.guess(["Size (acres)"]) == guesser.guess(["Acreage"]) == ["area_acres"]
    assert guesser.guess(["Area (ha)"]) == ["area_ha"]


@pytest.mark.parametrize(
    ("texts", "order"),
    [
        (["1/3/2021", "31/12/2026"], DAY_FIRST),
        (["3/30/2021"], MONTH_FIRST),
        (["1/3/2021"], ""),
        (["31/12/2026", "12/31/2026"], ""),
        (["2026-12-31"], ""),
    ],
)
def test_dates_show_their_own_order(texts: list[str], order: str) -> None:
    assert proven_order(texts) == order


@pytest.mark.parametrize(("name", "start"), [("Long Sixteen", "LS"), ("Foxsand", "FO"), ("'", "S")])
def test_a_code_begins_with_the_names_letters(name: str, start: str) -> None:
    assert initials(name) == start
