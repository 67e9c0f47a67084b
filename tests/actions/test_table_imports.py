"""Tables of members, landholders, sites and old finds: judged by row, saved whole or not, once, and taken back."""

import io
from datetime import date, timedelta
from typing import Any
from uuid import UUID, uuid4

import openpyxl
import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import now

from finds.models import Find
from hunts.models import Hunt
from keeping.import_kinds import KINDS
from keeping.import_samples import sample_book, sample_rows
from people import actions
from people.models import (
    AuditEntry,
    ColumnMemory,
    Invitation,
    Letter,
    Membership,
    TableDraft,
    TableImport,
    User,
)
from people.rights import Role
from people.tables import DraftTable
from permissions.models import Landholder, Site, SiteParty
from tests import make
from web.tables.plan import ChangedError, Plan

pytestmark = pytest.mark.django_db
DAYS = {"starts": "2026-01-01", "ends": "2026-12-31"}
ANSWERS: dict[str, dict[str, Any]] = {
    "members": DAYS,
    "landholders": {"capacity": "owner"},
    "sites": {"jurisdiction": "england"},
    "finds": {"past_basis": "unknown", "past_why": "From the notebook of that year."},
}


@pytest.fixture(autouse=True)
def _club(db: None) -> None:
    make.club()


def sent(data: bytes, kind: str, by: User, *, sheet: str = "", **answers: Any) -> tuple[UUID, Plan]:
    """A file kept, its columns as they are guessed, and what it would make."""
    key = uuid4()
    actions.keep_table(data, "list.csv", by=by, at=now(), kind=kind, client_id=key)
    if sheet:
        actions.choose_rows(key, by=by, at=now(), sheet=sheet, header_line=0)
    table = DraftTable(TableDraft.objects.get(client_id=key), KINDS[kind].fields)
    said = {**ANSWERS[kind], **answers}
    about: dict[str, Any] = {"digest": table.digest, "columns": table.suggestion(), "answers": said}
    actions.match_columns(key, by=by, at=now(), **about)
    return key, looked(key, kind, by)


def looked(key: UUID, kind: str, by: User) -> Plan:
    table = DraftTable(TableDraft.objects.get(client_id=key), KINDS[kind].fields)
    return KINDS[kind].judge(table.matched(), table.answers, by=by, at=now())


def save(key: UUID, kind: str, plan: Plan, by: User) -> TableImport:
    return KINDS[kind].save(key, by=by, at=now(), seal=plan.seal, site="https://club.example")


def brought(text: str, kind: str, by: User, **answers: Any) -> TableImport:
    key, plan = sent(text.encode(), kind, by, **answers)
    assert plan.problems == []
    return save(key, kind, plan, by)


def words(plan: Plan) -> list[tuple[int, str, str]]:
    return [(problem.line, problem.column, problem.words) for problem in plan.problems]


# All four together


def test_one_spreadsheet_with_four_sheets_fills_a_club(secretary: User) -> None:
    data = sample_book({kind: sample_rows(kind) for kind in KINDS})
    for kind in KINDS:
        key, plan = sent(data, kind, secretary, sheet=kind)
        assert (words(plan), len(plan.new)) == ([], 2)
        save(key, kind, plan, secretary)
    buckle, button = Find.objects.order_by("pk")
    outing = Hunt.objects.get()
    assert (buckle.finder.email, buckle.site.code, buckle.hunt) == (
        "ned.spit@ravensand.example",
        "ME01",
        outing,
    )
    assert (button.count, button.hunt) == (2, outing)
    assert (outing.on, outing.past_basis, outing.state) == (date(2014, 3, 15), "unknown", "closed")
    drawn, bare = Site.objects.order_by("code")
    assert (drawn.boundaries.count(), bare.boundaries.count(), bare.boundary) == (1, 0, {})
    assert {(p.landholder.name, p.capacity) for p in drawn.parties.all()} == {
        ("Marsh End Partners", "owner"),
        ("Tobias Fleet", "occupier"),
    }
    assert TableDraft.objects.count() == 0
    for kind in KINDS:  # the same file again makes nothing again
        _, plan = sent(data, kind, secretary, sheet=kind)
        assert (words(plan), plan.new, plan.may_save) == ([], [], False)
        assert len(plan.known) == 2


def test_what_was_looked_at_is_what_is_saved(secretary: User) -> None:
    key, plan = sent(b"Name,E-mail\nMo,mo@x.example\nNed,ned@x.example\n", "members", secretary)
    make.person(email="mo@x.example")
    with pytest.raises(ChangedError):
        save(key, "members", plan, secretary)
    assert not User.objects.filter(email="ned@x.example").exists()
    assert len(looked(key, "members", secretary).new) == 1


def test_saved_twice_is_one_import(secretary: User) -> None:
    key, plan = sent(b"Name,E-mail\nMo,mo@x.example\n", "members", secretary)
    first, second = (save(key, "members", plan, secretary) for _ in range(2))
    assert first == second
    assert User.objects.filter(email="mo@x.example").count() == 1
    entry = AuditEntry.objects.get(verb="table.import")
    assert entry.changes == {"kind": "members", "rows": 1, "gained": 0, "made": {"people": 1}}


@pytest.mark.parametrize("role", [Role.LEADER, Role.COMMITTEE])
def test_only_who_keeps_the_lists_may(role: Role) -> None:
    with pytest.raises(PermissionDenied):
        actions.keep_table(b"x", "x", by=make.person(role), at=now(), kind="members", client_id=uuid4())


def test_a_draft_is_its_senders_alone_and_goes_after_two_days(secretary: User) -> None:
    key, plan = sent(b"Name,E-mail\nMo,mo@x.example\n", "members", secretary)
    other = make.person(Role.SECRETARY)
    with pytest.raises(actions.NoTableError):
        save(key, "members", plan, other)
    with pytest.raises(actions.NoTableError):
        KINDS["members"].save(key, by=secretary, at=now() + timedelta(2), seal=plan.seal, site="")


def test_the_same_columns_are_remembered_and_nothing_about_people(secretary: User) -> None:
    sent(b"Who,E-mail\nMo,mo@x.example\n", "finds", secretary, past_why="Mr Warp said yes", day_order="day")
    memory = ColumnMemory.objects.get()
    assert memory.answers == {"past_basis": "unknown", "day_order": "day"}


# Members


def test_members_come_without_a_way_in_and_no_letter_goes_out(secretary: User) -> None:
    row = "Spit, Ned;ned@x.example;3 april 2019;31-03-2027;Shoreline Cover;31-12-2026"
    brought(
        f"Naam;E-mail;Lid sinds;Lid tot;Verzekeraar;Verzekerd tot\n{row}\n",
        "members",
        secretary,
        name_order="last_first",
    )
    ned = User.objects.get(email="ned@x.example")
    assert ned.name == "Ned Spit"
    assert not ned.has_usable_password()
    assert not ned.roles_held.exists()
    assert [(m.starts, m.ends) for m in ned.memberships.all()] == [(date(2019, 4, 3), date(2027, 3, 31))]
    assert [(i.insurer, i.ends) for i in ned.insurances.all()] == [("Shoreline Cover", date(2026, 12, 31))]
    assert (Letter.objects.count(), Invitation.objects.count()) == (0, 0)


def test_letters_go_to_everybody_new_where_that_is_ticked(secretary: User) -> None:
    brought("Name,E-mail\nMo,mo@x.example\nNed,ned@x.example\n", "members", secretary, invite=True)
    assert {letter.to for letter in Letter.objects.all()} == {"mo@x.example", "ned@x.example"}


def test_who_is_here_is_renewed_and_otherwise_left_as_they_are(secretary: User, member: User) -> None:
    ends = date(2031, 12, 31)
    text = f"Name,E-mail,Phone,Paid until\nAnother Name,{member.email.upper()},0999,{ends}\n"
    key, plan = sent(text.encode(), "members", secretary)
    assert plan.known[0].differs == ["Name", "Phone"]
    done = save(key, "members", plan, secretary)
    assert (done.gained, done.made) == (1, {"people": []})
    member.refresh_from_db()
    assert (member.name, member.phone) == ("Mo Samphire", "")
    assert member.memberships.filter(ends=ends).count() == 1
    assert sent(text.encode(), "members", secretary)[1].gaining == []
    with pytest.raises(actions.TakeBackError, match="1 of its rows added something"):
        actions.take_back_members(done.pk, by=secretary, at=now())


def test_every_wrong_row_is_named_with_its_value_and_remedy(secretary: User) -> None:
    rows = [
        "Name,E-mail,Member until",
        "Mo,",
        ",ned@x.example,",
        "Isa,no address,",
        "Una,una@x.example,2020-13-01",
    ]
    rows += ["Kit,kit@x.example,", "Kat,KIT@x.example,", "Tam,tam@x.example,#REF!"]
    _, plan = sent("\n".join(rows).encode(), "members", secretary)
    assert [(p.line, p.column, p.value) for p in plan.problems] == [
        (2, "E-mail", ""),
        (3, "Name", ""),
        (4, "E-mail", "no address"),
        (5, "Member until", "2020-13-01"),
        (7, "E-mail", "KIT@x.example"),
        (8, "Member until", "#REF!"),
    ]
    assert not plan.may_save
    _, plan = sent(b"Name,E-mail\nMo,\nNed,ned@x.example\n", "members", secretary, no_email="leave_out")
    assert (words(plan), plan.left_out, len(plan.new)) == ([], 1, 1)


def test_an_import_of_members_is_taken_back_within_a_day(secretary: User) -> None:
    done = brought("Name,E-mail\nMo,mo@x.example\n", "members", secretary)
    with pytest.raises(actions.TakeBackError, match="More than a day"):
        actions.take_back_members(done.pk, by=secretary, at=now() + timedelta(1, 1))
    actions.take_back_members(done.pk, by=secretary, at=now())
    actions.take_back_members(done.pk, by=secretary, at=now())
    assert not User.objects.filter(email="mo@x.example").exists()
    assert AuditEntry.objects.filter(verb="table.take_back").count() == 1
    assert AuditEntry.objects.filter(verb="person.add", label="Mo").count() == 1


def test_what_was_built_upon_is_not_taken_back(secretary: User) -> None:
    done = brought("Name,E-mail\nMo,mo@x.example\n", "members", secretary)
    mo = User.objects.get(email="mo@x.example")
    make.sign_up(make.hunt(make.site(), leader=secretary), mo)
    with pytest.raises(actions.TakeBackError, match="Something hangs on what it made"):
        actions.take_back_members(done.pk, by=secretary, at=now())
    changed = brought("Name,E-mail\nNed,ned@x.example\n", "members", secretary)
    ned = User.objects.get(email="ned@x.example")
    actions.change_person(ned.pk, by=secretary, at=now(), phone="1")
    with pytest.raises(actions.TakeBackError, match="changed since"):
        actions.take_back_members(changed.pk, by=secretary, at=now())
    assert Membership.objects.filter(user__in=[mo, ned]).count() == 2


# Landholders and sites


def test_one_row_for_each_field_is_one_landholder(secretary: User) -> None:
    make.site(code="SF91"), make.site(code="SF92")
    rows = "Landowner,Email,Postcode,Field,Type\nAda Warp,ada@x.example,HU99 1SM,SF91,owner\n"
    rows += "Ada Warp,ada@x.example,HU99 1SM,SF92,pachter\nAda Warp,other@x.example,HU99 9ZZ,,\n"
    done = brought(rows, "landholders", secretary)
    assert Landholder.objects.filter(name="Ada Warp").count() == 2
    ada = Landholder.objects.get(email="ada@x.example")
    assert {(p.site.code, p.capacity) for p in ada.parties.all()} == {("SF91", "owner"), ("SF92", "occupier")}
    assert "HU99 1SM" in ada.address
    _, plan = sent(rows.encode(), "landholders", secretary)
    assert (plan.new, plan.gaining) == ([], [])
    KINDS["landholders"].take_back(done.pk, by=secretary, at=now())  # type: ignore[misc]
    assert not Landholder.objects.filter(name="Ada Warp").exists()
    assert not AuditEntry.objects.filter(label__contains="Ada Warp").exists()


def test_landholders_are_refused_with_the_remedy(secretary: User) -> None:
    rows = "Name,Email,Field,Capacity\nAda,x,,\nBen,,SF99,\nCy,,,king\n,a@b.example,,\n"
    said = words(sent(rows.encode(), "landholders", secretary)[1])
    assert [(line, column) for line, column, _ in said] == [
        (2, "Email"),
        (3, "Field"),
        (4, "Capacity"),
        (5, "Name"),
    ]
    assert "import the sites first" in said[1][2]


CORNERS = "TA 4750 1530; TA 4768 1530; TA 4768 1548"
WKT = "POLYGON((0.15 53.6,0.153 53.6,0.153 53.602,0.15 53.6))"


@pytest.mark.parametrize(
    ("boundary", "system", "has_line", "trouble"),
    [
        (CORNERS, "", True, ""),
        ("nog geen", "", False, ""),
        ("TA 4750 1530", "", False, "one place and no outline"),
        (WKT, "", False, "say below the columns what such numbers are"),
        (WKT, "EPSG:4326", True, ""),
        (f"SRID=4326;{WKT}", "", True, ""),
        (
            '{"type":"Polygon","coordinates":[[[0.15,53.6],[0.153,53.6],[0.153,53.602],[0.15,53.6]]]}',
            "",
            True,
            "",
        ),
        ("TA 4750 1530; nonsense; TA 4768 1548", "", False, "nonsense"),
    ],
)
def test_a_boundary_comes_in_any_spelling_or_not_yet(
    secretary: User, boundary: str, system: str, has_line: bool, trouble: str
) -> None:
    quoted = '"' + boundary.replace('"', '""') + '"'
    text = f"Code\tName\tBoundary\tHa\nSF91\tGroyne Piece\t{quoted}\t\n"
    _, plan = sent(text.encode(), "sites", secretary, wkt_system=system)
    assert trouble in " ".join(problem.words for problem in plan.problems)
    assert bool(plan.problems) == bool(trouble)
    if not trouble:
        assert ("boundary" in plan.new[0].values) == has_line


def test_a_site_that_is_here_gains_its_first_boundary_and_is_otherwise_left(secretary: User) -> None:
    brought("Code,Name\nSF91,Groyne Piece\n", "sites", secretary)
    text = f"Code,Name,Farm,Boundary\nsf91,Other,Marsh End,{CORNERS}\n"
    key, plan = sent(text.encode(), "sites", secretary)
    assert plan.known[0].differs == ["Field name", "Farm or estate"]
    save(key, "sites", plan, secretary)
    site = Site.objects.get()
    assert (site.name, site.boundaries.count(), site.min_lat is None) == ("Groyne Piece", 1, False)


def test_an_import_of_sites_is_taken_back_with_its_boundaries(secretary: User) -> None:
    make.landholder(name="Ada Warp")
    text = f"Code,Name,Owner,Boundary\nSF91,A,Ada Warp,{CORNERS}\nSF92,B,,{CORNERS}\n"
    done = brought(text, "sites", secretary)
    assert SiteParty.objects.count() == 1
    KINDS["sites"].take_back(done.pk, by=secretary, at=now())  # type: ignore[misc]
    assert (Site.objects.count(), SiteParty.objects.count(), Landholder.objects.count()) == (0, 0, 1)


# Old finds


def test_looking_at_old_finds_writes_nothing_and_two_days_are_two_outings(
    secretary: User, member: User
) -> None:
    make.site(code="SF91")
    text = f"Date found,Field,Found by,Item\n15/03/2014,SF91,{member.email},buckle\n16/03/2014,SF91,,nail\n"
    key, plan = sent(text.encode(), "finds", secretary)
    assert (Hunt.objects.count(), words(plan), len(plan.new)) == (0, [], 2)
    assert any("1 row names no finder; it is recorded as found by you" in note for note in plan.notes)
    done = save(key, "finds", plan, secretary)
    assert [len(done.made[name]) for name in ("finds", "outings")] == [2, 2]
    more = brought(text + f"15/03/2014,SF91,{secretary.email},stud\n", "finds", secretary)
    assert [len(more.made[name]) for name in ("finds", "outings")] == [1, 0]
    assert Find.objects.count() == 3


def test_a_look_at_old_finds_takes_no_lock_and_says_what_saving_makes(
    secretary: User, member: User, django_assert_max_num_queries: Any
) -> None:
    make.site(code="SF91"), make.site(code="SF92")
    brought(f"Date found,Field,Found by,Item\n2014-03-15,SF92,{member.email},pin\n", "finds", secretary)
    rows = [f"201{n % 4 + 3}-03-{n % 9 + 14},SF9{n % 2 + 1},{secretary.email},nail {n}" for n in range(60)]
    key, _ = sent("\n".join(["Date found,Field,Found by,Item", *rows]).encode(), "finds", secretary)
    with django_assert_max_num_queries(40) as asked:
        plan = looked(key, "finds", secretary)
    assert {query["sql"].split()[0] for query in asked.captured_queries} == {"SELECT"}
    assert any("35 past outings are entered" in note for note in plan.notes)
    codes = {row.line: row.says[0] for row in plan.new}
    done = save(key, "finds", plan, secretary)  # under the very seal that was looked at
    made = Find.objects.filter(pk__in=done.made["finds"]).order_by("pk").values_list("hunt__code", flat=True)
    assert [codes[line] for line in sorted(codes)] == list(made)
    assert (len(made), len(done.made["outings"])) == (60, 35)


def test_old_finds_without_day_or_field_are_named(secretary: User) -> None:
    make.site(code="SF91")
    rows = (
        "Date found,Field,Found by,Item\n,SF91,,buckle\n2014-03-15,SF99,,nail\n2014-03-15,SF91,Nobody,stud\n"
    )
    rows += "2999-01-01,SF91,,pin\n"
    said = words(sent(rows.encode(), "finds", secretary)[1])
    assert [(line, column) for line, column, _ in said] == [
        (2, "Date found"),
        (3, "Field"),
        (4, "Found by"),
        (5, "Date found"),
    ]


def test_a_formula_without_a_result_is_a_cell_to_mend(secretary: User) -> None:
    book = openpyxl.Workbook()
    for row in (["Name", "E-mail"], ["Mo", '=CONCATENATE("mo","@x.example")']):
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    said = words(sent(out.getvalue(), "members", secretary)[1])
    assert said[0][:2] == (2, "E-mail")
    assert "B2 holds a formula" in said[0][2]
