"""What follows from the words of a record, whoever writes it: terms, years, materials, and what the law reads there."""

from decimal import Decimal
from itertools import product
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import now

from finds.actions import LinkError, change_find, link_finds, record_find, unlink_finds
from finds.legal import facts_of
from finds.models import Find, FindLink
from law.pack import load_pack
from law.screen import Outcome, screen
from people.models import AuditEntry, User
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def hunt(member: User, leader: User):
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    return hunt


def record(hunt, by: User, *, materials=None, **fields) -> Find:
    values = {"client_id": uuid4(), "finder": by, "site": hunt.sites.all()[0], "found_at": now()}
    values |= {"object_type": "mount"} | fields
    find = record_find(hunt.pk, by=by, at=now(), materials=materials or {}, **values)
    find.refresh_from_db()
    return find


def change(find: Find, by: User, **fields) -> Find:
    changed = change_find(find.pk, by=by, at=now(), materials={}, **fields)
    changed.refresh_from_db()
    return changed


def test_a_term_is_kept_with_its_identifier_and_goes_with_the_word(hunt, member: User) -> None:
    find = record(hunt, member, object_type="Buckle")
    assert find.object_uri == "http://purl.org/heritagedata/schemes/mda_obj/concepts/96667"
    assert find.object_scheme == "FISH Archaeological Objects Thesaurus, 2021-09-21"
    find = change(find, member, object_type="buckle of a spur, perhaps")
    assert (find.object_uri, find.object_scheme) == ("", "")


def test_a_period_alone_fills_in_all_its_years_and_says_so(hunt, member: User) -> None:
    find = record(hunt, member, period="iron age")
    assert (find.year_from, find.year_to, find.years_source) == (-800, 43, "period")
    assert find.period_scheme == "Historic England periods list, 2026-04-08"
    assert find.period_uri == "http://purl.org/heritagedata/schemes/eh_period/concepts/IA"
    assert find.edtf_date == "-0799/0043"


def test_another_period_fills_in_anew_and_typed_years_stay(hunt, member: User) -> None:
    find = change(record(hunt, member, period="Iron Age"), member, period="Roman")
    assert (find.year_from, find.year_to, find.years_source) == (43, 410, "period")
    find = change(find, member, year_from=117, year_to=138)
    assert (find.year_from, find.year_to, find.years_source) == (117, 138, "typed")
    find = change(find, member, period="Medieval")
    assert (find.year_from, find.year_to, find.years_source) == (117, 138, "typed")


def test_an_unknown_period_stays_free_text_without_years(hunt, member: User) -> None:
    find = record(hunt, member, period="Time of the monks")
    assert (find.period_scheme, find.year_from, find.years_source) == ("", None, "")


def test_an_edtf_date_gives_the_years_and_is_kept_as_typed(hunt, member: User) -> None:
    find = record(hunt, member, period="Iron Age", edtf="-0043~/0043")
    assert (find.year_from, find.year_to, find.years_source) == (-44, 43, "edtf")
    assert find.edtf_date == "-0043~/0043"


def test_materials_in_words_find_their_kind_and_term(hunt, member: User) -> None:
    materials = {"silver": Decimal("92.5"), "Brass": None, "jet": None, "other": None}
    find = record(hunt, member, materials=materials)
    rows = [(row.material, row.words, row.uri.rpartition("/")[2]) for row in find.materials.all()]
    assert rows == [
        ("silver", "", "300011029"),
        ("copper alloy", "Brass", "300010946"),
        ("other", "jet", ""),
        ("other", "", ""),
    ]
    assert [str(row) for row in find.materials.all()] == ["Silver", "Brass", "jet", "Other"]


def test_a_material_that_is_only_words_says_nothing_about_metal(hunt, member: User) -> None:
    facts = facts_of(record(hunt, member, materials={"electrum": None}))
    assert {facts.any_metal.value, facts.gold.value, facts.silver.value} == {"unknown"}


# Years in doubt: they may make a thing old enough, never too young (Treasure Act 1996 s.3(6))

DOUBT = [
    ({"period": "Modern"}, True),
    ({"period": "Modern", "certainty": "possible"}, True),
    ({"period": "Modern", "certainty": "probable"}, False),
    ({"period": "Modern", "certainty": "certain"}, False),
    ({"edtf": "1850?/1900"}, True),
    ({"edtf": "1850~", "certainty": "certain"}, True),
    ({"edtf": "1850/1900"}, False),
    ({"year_from": 1850, "year_to": 1900}, False),
    ({"year_from": 1850, "year_to": 1900, "certainty": "possible"}, True),
]


@pytest.mark.parametrize(("fields", "in_doubt"), DOUBT)
def test_years_in_doubt_never_make_a_thing_too_young(hunt, member: User, fields, in_doubt: bool) -> None:
    find = record(hunt, member, is_coin="no", materials={"gold": None}, **fields)
    facts = facts_of(find)
    assert (facts.made_from is None) is in_doubt
    assert facts.made_to == find.year_to


OLD = ("Roman", "Medieval", "Bronze Age")


@pytest.mark.parametrize(
    ("period", "certainty"), list(product(OLD, ["unknown", "possible", "probable", "certain"]))
)
def test_an_old_gold_thing_is_owed_whatever_is_said_of_certainty(
    hunt, member: User, period: str, certainty: str
) -> None:
    """Treasure Act 1996 s.1(1)(a)(i), Treasure (Designation) Order 2002 for the prehistoric; no doubt lessens it."""
    find = record(
        hunt, member, is_coin="no", materials={"gold": Decimal(90)}, period=period, certainty=certainty
    )
    outcome = screen(facts_of(find), pack=load_pack("england"), on=now()).outcome
    assert outcome is not Outcome.NO_DUTY_FOUND


def test_more_doubt_never_brings_no_duty(hunt, member: User) -> None:
    """The years of a period said to be certain may say “no duty”; with less certainty they never may."""
    for period in ("Post-medieval", "Victorian", "Modern", "Tudor"):
        find = record(
            hunt, member, is_coin="no", period=period, certainty="certain", materials={"gold": None}
        )
        sure = screen(facts_of(find), pack=load_pack("england"), on=now()).outcome
        find.certainty = "unknown"
        unsure = screen(facts_of(find), pack=load_pack("england"), on=now()).outcome
        assert unsure is not Outcome.NO_DUTY_FOUND, period
        assert sure is not Outcome.DUTY or unsure is Outcome.DUTY, period


# Associated finds


def test_two_finds_are_associated_once_and_read_the_same_from_both(hunt, member: User) -> None:
    one, two = record(hunt, member), record(hunt, member)
    key = uuid4()
    for _ in range(2):
        link_finds(two.pk, one.number.lower(), by=member, at=now(), note="same hole", client_id=key)
    again = link_finds(one.pk, two.number, by=member, at=now(), note="fits on the break", client_id=uuid4())
    link = FindLink.objects.get()
    assert (link.pk, link.first, link.second, link.note) == (again.pk, one, two, "fits on the break")
    assert list(FindLink.objects.of(one)) == list(FindLink.objects.of(two)) == [link]
    assert AuditEntry.objects.filter(verb="find.link").count() == 2


def test_a_find_is_not_associated_with_itself_or_with_what_is_not_there(hunt, member: User) -> None:
    find = record(hunt, member)
    with pytest.raises(LinkError, match="is this find itself"):
        link_finds(find.pk, find.number, by=member, at=now(), note="x", client_id=uuid4())
    with pytest.raises(LinkError, match="“F1999-9999” is not the number of a find"):
        link_finds(find.pk, "F1999-9999", by=member, at=now(), note="x", client_id=uuid4())
    assert not FindLink.objects.exists()


def test_a_locked_find_of_somebody_else_cannot_be_reached_by_its_number(
    hunt, member: User, leader: User
) -> None:
    locked = record(hunt, leader, is_coin="no", materials={"gold": Decimal(90)}, year_from=1500, year_to=1600)
    assert locked.locked
    other = make.person(name="Ned Spit")
    make.attendance(hunt, other)
    find = record(hunt, other)
    with pytest.raises(LinkError):
        link_finds(find.pk, locked.number, by=other, at=now(), note="x", client_id=uuid4())


def test_only_those_close_to_the_find_associate_it_and_take_it_off(hunt, member: User) -> None:
    one, two = record(hunt, member), record(hunt, member)
    link = link_finds(one.pk, two.number, by=member, at=now(), note="x", client_id=uuid4())
    other = make.person(name="Ned Spit")
    with pytest.raises(PermissionDenied):
        link_finds(one.pk, two.number, by=other, at=now(), note="y", client_id=uuid4())
    with pytest.raises(PermissionDenied):
        unlink_finds(link.pk, one.pk, by=other, at=now())
    unlink_finds(link.pk, two.pk, by=member, at=now())
    unlink_finds(link.pk, two.pk, by=member, at=now())
    assert not FindLink.objects.exists()
    assert AuditEntry.objects.filter(verb="find.unlink").count() == 1
