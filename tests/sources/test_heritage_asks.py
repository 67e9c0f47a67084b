"""What a heritage report says and asks, against the contents that each law or guidance asks for.

Source: the project's law file, part f (report contents), with its marks: R read in the text itself, 2 read in
official guidance, M from memory (common practice).
"""

import pytest
from django.utils.timezone import now

from finds.actions.custody import first_holder
from finds.models import Case
from people.models import Club
from people.rights import Role
from reports.build.heritage_case import CaseFacts, gather
from reports.drafts import draft_for_case
from reports.heritage_asks import ASKS, Basis, Regime, missing, regimes_of
from reports.plain import plain_report
from tests import make

pytestmark = pytest.mark.django_db

# Part f, regime by regime: (what the table says, its mark, what of ASKS answers it).
PART_F = {
    Regime.TREASURE: [
        ("exact place to at least a six-figure grid reference", "2", "six-figure reference"),
        ("owner/occupier", "2", "owner or occupier"),
        ("other items nearby", "2", "objects lay close by"),
        ("photo", "2", "photograph"),
        ("depth", "M", "depth"),
        ("method", "M", "how it was fixed"),
    ],
    Regime.NI: [
        ("nature of object", "R", "what it is"),
        ("owner/occupier name if known", "R", "owner or occupier"),
        ("deposit, or say where it may be seen", "R", "where it may be seen"),
        ("phone", "2", "phone"),
        ("place", "2", "exact place"),
        ("size", "2", "size"),
        ("material", "2", "material"),
    ],
    Regime.IRELAND: [
        ("nature and character", "R", "nature and character"),
        ("where it is now", "R", "where it is now"),
        ("exact location", "R", "exact location"),
        ("owner/occupier after reasonable inquiry", "R", "owner or occupier"),
    ],
    Regime.SCOTLAND: [
        ("findspot by GPS, two letters + ten figures preferred", "2", "ten-figure"),
        ("no cleaning or coating", "2", "not cleaned or coated"),
        ("photos", "2", "photograph"),
    ],
    Regime.WRECK: [
        ("place", "R", "exact place"),
        ("description", "R", "what it is"),
        ("marks", "R", "marks or inscription"),
    ],
}
BASIS = {"R": Basis.LAW, "2": Basis.GUIDANCE, "M": Basis.PRACTICE}


@pytest.mark.parametrize(
    ("regime", "said", "mark", "words"),
    [(regime, *row) for regime, rows in PART_F.items() for row in rows],
    ids=lambda value: str(value)[:40],
)
def test_each_regime_asks_for_what_its_law_or_guidance_names(
    regime: Regime, said: str, mark: str, words: str
) -> None:
    asks = [ask for ask in ASKS[regime] if words in ask.what]
    assert [ask.basis for ask in asks] == [BASIS[mark]], said


def case_of(jurisdiction: str = "england", **fields: object) -> CaseFacts:
    make.club(address="1 Staithe Lane, Ravensand")
    by = make.person(Role.COMMITTEE)
    owner = make.landholder(name="Ada Warp")
    hunt = make.hunt(make.site(owner=owner, jurisdiction=jurisdiction), state="running")
    finder = make.person(name="Mo Samphire", phone="01632 960001")
    make.attendance(hunt, finder, signed_out_at=now())
    find = make.find(hunt, finder, **fields)
    first_holder(find, by=finder, at=now())
    case = Case.objects.create(number=f"C{find.number}", opened_at=now(), authority="The coroner")
    case.finds.add(find)
    return gather(case, by=by, at=now())


FULL = {
    "description": "Silver penny, worn",
    "depth_cm": 14,
    "condition": "as found, not cleaned or coated",
    "inscription": "none seen",
    "identified_by": "Ida Drift",
    "identified_on": make.days(-1),
    "weight_g": "1.30",
    "facts": {"others_nearby": "no"},
}


@pytest.mark.parametrize(
    "jurisdiction", ["england", "wales", "northern-ireland", "scotland", "ireland", "denmark"]
)
def test_a_bare_record_lacks_something_and_a_full_one_nothing(jurisdiction: str) -> None:
    assert missing(case_of(jurisdiction))
    facts = case_of(jurisdiction, **FULL, accuracy_m=0.8)
    for each in facts.objects:
        make.find_photo(each.find)
        each.find.materials.create(material="silver")
    again = gather(facts.case, by=make.person(Role.COMMITTEE), at=now())
    assert missing(again) == []


def test_the_regime_follows_the_place_when_no_duty_was_found() -> None:
    found = {
        code: regimes_of(case_of(code).objects[0]) for code in ("england", "scotland", "ireland", "denmark")
    }
    assert found == {
        "england": [Regime.TREASURE],
        "scotland": [Regime.SCOTLAND],
        "ireland": [Regime.IRELAND],
        "denmark": [Regime.OTHER],
    }


def test_a_place_coarser_than_a_six_figure_reference_is_asked_about() -> None:
    """Six figures name a square of 100 m (trade file 5.2: 6 fig 100 m)."""
    asked = [row.what for row in missing(case_of(**FULL, accuracy_m=101.0))]
    assert any("six-figure" in what for what in asked)
    assert not any("six-figure" in row.what for row in missing(case_of(**FULL, accuracy_m=100.0)))


def test_what_the_law_asks_stands_before_what_guidance_and_practice_ask() -> None:
    make_order = [row.basis for row in missing(case_of("ireland", lon=None, lat=None, accuracy_m=None))]
    assert make_order == sorted(make_order, key=list(Basis).index)
    assert make_order[0] is Basis.LAW


def test_irish_law_asks_for_an_address() -> None:
    """1930 Act s.23(7): name and address of the finder."""
    facts = case_of("ireland", **FULL)
    Club.objects.update(address="")
    again = gather(facts.case, by=make.person(Role.COMMITTEE), at=now())
    assert [row.basis for row in missing(again) if "address" in row.what] == [Basis.LAW]


# What each line of part f is called in the report itself.
SAID = (
    "Finder: Mo Samphire",
    "Found: ",
    "Findspot: TA ",
    "Latitude, longitude: 53.600700, 0.151200 (WGS 84)",
    "Accuracy: ±5 m (95 %)",
    "Fixed by: Phone or receiver",
    "Land: Ada Warp (owner)",
    "Circumstances: Found by Mo Samphire with a metal detector",
    "Depth: 14 cm",
    "Other finds nearby: none on record within 50 m",
    "Where it is now: Mo Samphire (finder)",
    "Identified by: Ida Drift",
    "Address: 1 Staithe Lane, Ravensand",
    "Effort of the search",
    "no hole is on record",
)


def test_the_report_says_each_of_them() -> None:
    facts = case_of(**FULL)
    text = plain_report(draft_for_case(facts.case, by=make.person(Role.COMMITTEE), at=now()).report)
    assert [line for line in SAID if line not in text] == []


def test_blank_holes_and_finds_nearby_are_counted_as_evidence() -> None:
    facts = case_of(**FULL)
    find = facts.objects[0].find
    for outcome in ("nothing", "nothing", "scrap", "find"):
        make.hole(find.hunt, find.finder, outcome=outcome)
    make.find(find.hunt, find.finder, object_type="buckle", lon=0.15125)  # 3.3 m east of it
    make.find(find.hunt, find.finder, object_type="nail", lon=0.1525)  # 86 m east of it
    text = plain_report(draft_for_case(facts.case, by=make.person(Role.COMMITTEE), at=now()).report)
    assert "of 4 holes 2 gave nothing, 1 scrap, 0 iron, 1 a find, 0 were stopped at" in text
    assert "Other finds nearby: 1 within 50 m: F" in text
    assert "buckle, 3 m" in text
    assert "Besides the 1 reported here, 2 finds of these hunts are on record." in text
