"""A table of finds: looked at before it is saved, all of it or nothing, and safe to send again."""

import csv
import io
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.timezone import localtime, now

from finds import actions
from finds.import_file import check_table, table_of
from finds.import_plan import Plan
from finds.import_rows import plan_rows
from finds.models import (
    Case,
    CustodyEntry,
    Find,
    FindImportDraft,
    FindNumber,
    PairSuggestion,
    ScreeningRecord,
)
from people.models import AuditEntry, User
from permissions.actions import NoDraftError
from tests import make

pytestmark = pytest.mark.django_db


def table(*rows: dict[str, Any], separator: str = ",") -> bytes:
    """A CSV file of these rows, with a column for each name any of them has."""
    out = io.StringIO()
    names = list(dict.fromkeys(name for row in rows for name in row))
    writer = csv.DictWriter(out, names, delimiter=separator)
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode()


@pytest.fixture
def hunt(leader: User, member: User) -> Any:
    make.club()
    hunt = make.hunt(
        make.site(code="SF04"), leader=leader, on=make.days(-7), code="H2026-004", state="closed"
    )
    make.sign_up(hunt, member)
    return hunt


def row(**values: Any) -> dict[str, Any]:
    return {"hunt": "H2026-004", "object": "buckle"} | {
        name.replace("_", " "): v for name, v in values.items()
    }


def plan(by: User, *rows: dict[str, Any], **options: Any) -> Plan:
    return plan_rows(check_table(table(*rows)), by=by, at=now(), **options)


def sent(by: User, data: bytes) -> FindImportDraft:
    return actions.keep_find_import(data, "bags.csv", by=by, at=now(), client_id=uuid4())


def saved(by: User, data: bytes) -> list[Find]:
    draft = sent(by, data)
    seal = plan_rows(table_of(draft), by=by, at=now()).seal
    return actions.save_find_import(draft.pk, by=by, at=now(), seal=seal)


def test_a_row_becomes_a_whole_record(hunt: Any, member: User) -> None:
    full = row(
        own_reference="bag 17",
        found_on=hunt.on.isoformat(),
        time="11:40",
        how_many="2",
        coin="no",
        materials="silver 92,5 %; copper alloy",
        circumstances="container; hidden",
        depth="18",
        position="53.6007, 0.1512",
        year_from="1300",
        year_to="1400",
        how_sure="probable",
    ) | {"weight (g)": "4,25", "position accuracy (m)": "5"}
    (find,) = saved(member, table(full))
    find.refresh_from_db()
    assert (find.finder, find.recorded_by, find.hunt, find.count) == (member, member, hunt, 2)
    assert f"{localtime(find.found_at):%H:%M}" == "11:40"
    assert {m.material: m.share_percent for m in find.materials.all()} == {
        "silver": 92.5,
        "copper alloy": None,
    }
    assert find.facts == {"container": "yes", "hidden": "yes"}
    assert find.drills.count() == 1  # something in a container: all stops, as when it is recorded singly
    assert (float(find.weight_g), find.depth_cm, find.certainty) == (4.25, 18, "probable")
    assert (find.lon, find.lat, find.accuracy_m, find.placing) == (0.1512, 53.6007, 5.0, "inside")
    assert find.square_cell is not None
    assert (find.own_reference, find.year_from, find.year_to) == ("bag 17", 1300, 1400)


def test_each_find_has_number_custody_trail_and_screening(hunt: Any, member: User) -> None:
    finds = saved(member, table(row(), row(object="button"), row(object="nail")))
    assert len({find.number for find in finds}) == 3
    assert [r.serial for r in FindNumber.objects.order_by("serial")] == [1, 2, 3]
    assert CustodyEntry.objects.filter(find__in=finds, step=1, to_name=member.name).count() == 3
    assert ScreeningRecord.objects.filter(find__in=finds).count() == 3
    assert AuditEntry.objects.filter(verb="find.record").count() == 3
    line = AuditEntry.objects.get(verb="find.import")
    assert line.changes["numbers"] == [finds[0].number, finds[-1].number]


def test_an_imported_hoard_is_under_a_case_at_once(hunt: Any, member: User) -> None:
    """Treasure Act 1996 s.1(1)(a)(ii): two coins or more, 300 years old, 10 % of precious metal, of one find."""
    coins = row(
        object="pennies", how_many="3", coin="yes", materials="silver 92 %", year_from="1205", year_to="1247"
    ) | {"circumstances": "container"}
    (find,) = saved(member, table(coins))
    find.refresh_from_db()
    assert find.locked
    assert Case.objects.filter(finds=find).exists()


def test_the_same_file_twice_makes_nothing_twice(hunt: Any, member: User) -> None:
    data = table(row(own_reference="1"), row(object="button"), row(object="button"))
    assert len(saved(member, data)) == 3
    again = plan_rows(check_table(data), by=member, at=now())
    assert (again.new, len(again.known), [known.differs for known in again.known]) == ([], 3, [[], [], []])
    with pytest.raises(actions.ImportChangedError):
        saved(member, data)
    assert Find.objects.count() == 3


def test_a_draft_saved_twice_answers_with_the_same_finds(hunt: Any, member: User) -> None:
    draft = sent(member, table(row()))
    seal = plan_rows(table_of(draft), by=member, at=now()).seal
    first = actions.save_find_import(draft.pk, by=member, at=now(), seal=seal)
    second = actions.save_find_import(draft.pk, by=member, at=now(), seal=seal)
    assert [find.pk for find in first] == [find.pk for find in second]
    draft.refresh_from_db()
    assert (draft.raw, draft.made) == (None, [first[0].pk])


def test_a_changed_row_is_reported_and_changes_nothing(hunt: Any, member: User) -> None:
    first = row(own_reference="bag 1", depth="10", materials="iron")
    (find,) = saved(member, table(first))
    changed = first | {"depth": "12", "materials": "lead"}
    (known,) = plan(member, changed, row(object="nail")).known
    assert (known.there, sorted(known.differs)) == (find, ["depth (cm)", "materials"])
    saved(member, table(changed, row(object="nail")))
    find.refresh_from_db()
    assert (find.depth_cm, Find.objects.count()) == (10, 2)


def test_words_of_materials_are_kept_and_what_is_not_listed_is_said(hunt: Any, member: User) -> None:
    row_ = row(materials="brass 60 %; jet", weight="22 grains", date_in_EDTF="13XX")
    coming = plan(member, row_).new[0]
    assert coming.warnings[0] == "22 grains is kept as 1.43 g."
    assert "“jet” is not a listed material" in coming.warnings[1]
    (find,) = saved(member, table(row_))
    rows = {(m.material, m.words): m.share_percent for m in find.materials.all()}
    assert rows == {("copper alloy", "brass"): 60, ("other", "jet"): None}
    assert (find.year_from, find.year_to, find.weight_as_typed) == (1300, 1399, "22 grains")


def test_a_row_taken_back_is_not_made_again(hunt: Any, member: User) -> None:
    (find,) = saved(member, table(row(own_reference="bag 1")))
    actions.withdraw_find(find.pk, by=member, at=now(), why="typed twice")
    known = plan(member, row(own_reference="bag 1"))
    assert known.new == []
    assert known.known[0].there.withdrawn_at is not None


def test_one_bad_row_and_nothing_is_saved(hunt: Any, member: User) -> None:
    data = table(row(), row(depth="deep"), row())
    draft = sent(member, data)
    looked = plan_rows(table_of(draft), by=member, at=now())
    assert [(p.line, p.column, p.value) for p in looked.problems] == [(3, "depth (cm)", "deep")]
    with pytest.raises(actions.ImportChangedError):
        actions.save_find_import(draft.pk, by=member, at=now(), seal=looked.seal)
    assert Find.objects.count() == 0
    assert FindNumber.objects.count() == 0


def test_a_failure_on_the_way_leaves_nothing(
    hunt: Any, member: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    from finds.actions import record_many

    def fail(finds: list[Find], **more: Any) -> None:
        if any(find.object_type == "nail" for find in finds):
            raise RuntimeError("the disk is full")

    monkeypatch.setattr(record_many, "screen_new", fail)
    with pytest.raises(RuntimeError, match="disk is full"):
        saved(member, table(row(), row(object="nail")))
    assert Find.objects.count() == 0
    assert FindNumber.objects.count() == 0


def test_what_was_looked_at_is_what_is_saved(hunt: Any, member: User) -> None:
    draft = sent(member, table(row(), row(object="nail")))
    seal = plan_rows(table_of(draft), by=member, at=now()).seal
    saved(member, table(row()))
    with pytest.raises(actions.ImportChangedError):
        actions.save_find_import(draft.pk, by=member, at=now(), seal=seal)
    assert Find.objects.count() == 1


WRONG: list[tuple[dict[str, Any], str, str]] = [
    ({"hunt": "H1999-001"}, "hunt", "No hunt that you may see has the code “H1999-001”"),
    ({"hunt": ""}, "hunt", "every row needs it"),
    ({"object": ""}, "object", "every row needs it"),
    ({"found on": "2020-01-01"}, "found on", "1 Jan 2020 is not the day of H2026-004"),
    ({"found on": "03/04/2025"}, "found on", "could be 3 April 2025 or 4 March 2025"),
    ({"year from": "0"}, "year from", "There is no year 0"),
    ({"year from": "1400", "year to": "1300"}, "year to", "1300 is before 1400"),
    ({"materials": "silver 105 %"}, "materials", "cannot be a share"),
    ({"materials": "silver 0.05"}, "materials", "5 % or 0.05 %"),
    ({"materials": "iron; Iron"}, "materials", "listed twice"),
    ({"date in EDTF": "about 1300"}, "date in EDTF", "not a date in EDTF"),
    (
        {"date in EDTF": "1300", "year from": "1400"},
        "date in EDTF",
        "means 1300, and the years say from 1400",
    ),
    ({"year from": "2999"}, "year from", "when it was found"),
    ({"identified on": "2020-01-01"}, "identified on", "when it was found"),
    ({"materials": "gold", "no gold or silver": "yes"}, "no gold or silver", "take one of the two away"),
    ({"weight (g)": "1,250"}, "weight (g)", "1.250 or 1250"),
    ({"depth": "900"}, "depth (cm)", "200"),
    ({"depth": "18 in"}, "depth (cm)", "is in “in”"),
    ({"object": "x" * 81}, "object", "80"),
    ({"position": "TA 12 345"}, "position", "figures"),
    ({"position": "53.7, 0.2"}, "position", "outside the boundary"),
    ({"position accuracy (m)": "5"}, "position accuracy (m)", "no position"),
    ({"site": "ZZ9"}, "site", "give one of: SF04"),
    ({"circumstances": "none; hidden"}, "circumstances", "none and another"),
    ({"finder": "Len Groyne"}, "finder", "is not you"),
]


@pytest.mark.parametrize(("values", "column", "words"), WRONG)
def test_a_wrong_cell_is_named_with_line_value_and_remedy(
    hunt: Any, member: User, values: dict[str, Any], column: str, words: str
) -> None:
    problems = plan(member, row(), row(depth="") | values).problems
    assert [(p.line, p.column) for p in problems] == [(3, column)]
    assert words in problems[0].words


def test_a_day_order_settles_what_is_ambiguous(leader: User, member: User) -> None:
    from datetime import date

    make.club()
    hunt = make.hunt(leader=leader, on=date(2025, 4, 3), code="H2026-004", state="closed")
    make.sign_up(hunt, member)
    assert plan(member, row(found_on="03/04/2025"), order="day").problems == []
    assert "is not the day" in plan(member, row(found_on="03/04/2025"), order="month").problems[0].words


def test_two_rows_with_one_reference_are_refused(hunt: Any, member: User) -> None:
    problems = plan(member, row(own_reference="7"), row(object="nail", own_reference="7")).problems
    assert [(p.line, p.column, p.value) for p in problems] == [(3, "own reference", "7")]


def test_a_member_imports_own_finds_only(hunt: Any, member: User, leader: User) -> None:
    other = make.person(name="Ned Spit")
    make.sign_up(hunt, other)
    assert "is not you" in plan(member, row(finder="Ned Spit")).problems[0].words
    assert plan(leader, row(finder="Ned Spit")).problems == []


def test_a_leader_imports_for_hunts_they_lead(hunt: Any, member: User) -> None:
    from people.rights import Role

    other = make.person(Role.LEADER, name="Lyn Ness")
    assert "hunts you lead" in plan(other, row(finder=member.email)).problems[0].words


def test_secretary_and_committee_import_for_everybody(
    hunt: Any, member: User, secretary: User, committee: User
) -> None:
    for by in (secretary, committee):
        assert plan(by, row(finder="mo samphire")).problems == []
        assert plan(by, row(finder=member.email.upper())).problems == []
    assert "Nobody" in plan(secretary, row(finder="Nobody Atall")).problems[0].words


def test_a_name_that_two_people_bear_is_asked_about(hunt: Any, secretary: User) -> None:
    for _ in range(2):
        make.sign_up(hunt, make.person(name="Ned Spit"))
    assert "2 people are called" in plan(secretary, row(finder="Ned Spit")).problems[0].words


def test_a_finder_who_was_not_there_is_refused(hunt: Any, secretary: User) -> None:
    make.person(name="Ned Spit")
    assert "was not signed up for H2026-004" in plan(secretary, row(finder="Ned Spit")).problems[0].words


def test_the_same_row_sent_by_secretary_and_finder_is_one_find(
    hunt: Any, member: User, secretary: User
) -> None:
    saved(secretary, table(row(own_reference="bag 1", finder=member.email)))
    mine = plan(member, row(own_reference="bag 1"))
    assert (mine.new, len(mine.known)) == ([], 1)


def test_whoever_may_not_log_finds_keeps_no_file(stranger: User) -> None:
    with pytest.raises(PermissionDenied):
        sent(stranger, table(row()))


def test_a_file_is_its_senders_alone_and_for_two_days(hunt: Any, member: User, leader: User) -> None:
    draft = sent(member, table(row()))
    with pytest.raises(NoDraftError):
        actions.save_find_import(draft.pk, by=leader, at=now(), seal="")
    later = now() + timedelta(days=2, seconds=1)
    with pytest.raises(NoDraftError):
        actions.discard_find_import(draft.pk, by=member, at=later)
    actions.keep_find_import(table(row()), "b.csv", by=leader, at=later, client_id=uuid4())
    assert not FindImportDraft.objects.filter(pk=draft.pk).exists()


def test_reading_a_file_another_way_keeps_the_answer(hunt: Any, member: User) -> None:
    draft = sent(member, table(row(object="Fibel, grün")).decode().encode("cp1250"))
    assert not table_of(draft).sure
    actions.reread_find_import(draft.pk, by=member, at=now(), encoding="cp1250", day_order="day")
    draft.refresh_from_db()
    assert table_of(draft).rows[0].cells["object"] == "Fibel, grün"
    assert draft.day_order == "day"


@pytest.mark.once
def test_judging_rows_asks_as_often_for_many_as_for_few(
    hunt: Any, member: User, django_assert_num_queries: Any
) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    plan(member, row())
    with CaptureQueriesContext(connection) as few:
        plan(member, row())
    with CaptureQueriesContext(connection) as many:
        plan(member, *(row(object=f"nail {n}") for n in range(300)))
    assert len(many) == len(few)


SAME = [
    row(own_reference="1", coin="yes", materials="silver 95 %", year_from="1200", year_to="1300",
        circumstances="none", position="53.6007, 0.1512", time="10:00"),
    row(own_reference="2", coin="yes", materials="silver 95 %", year_from="1210", year_to="1290",
        circumstances="container", position="53.60071, 0.15121", time="10:05"),
    row(own_reference="3", coin="no", materials="iron", position="53.6011, 0.1519", time="10:10"),
    row(own_reference="4", coin="no", materials="gold", year_from="900", year_to="1000",
        position="53.60072, 0.15122", time="10:15"),
    row(own_reference="5", coin="no", materials="lead", circumstances="none", time="10:20"),
    row(own_reference="6", coin="yes", materials="silver", year_from="1200", year_to="1300",
        position="53.600705, 0.151205", time="10:25"),
]  # fmt: skip


def kept_of(finds: list[Find]) -> dict[str, Any]:
    """All that follows from recording: screenings, cases, locks, custody and suggestions, by the finder's reference."""
    name = dict(Find.objects.values_list("pk", "own_reference"))
    screenings = ScreeningRecord.objects.filter(find__in=finds).values_list(
        "find", "outcome", "weight", "due_on", "judged_by", "result"
    )
    pairs = PairSuggestion.objects.values_list("first", "second", "score", "distance_m", "reach_m", "state")
    digest = {"facts_digest": ""}
    return {
        "screenings": sorted(
            ((name[key], *rest[:-1], str(rest[-1] | digest)) for key, *rest in screenings), key=str
        ),
        "locked": sorted(Find.objects.filter(locked=True).values_list("own_reference", "judged_by")),
        "judged": sorted(Find.objects.values_list("own_reference", "judged_by")),
        "cases": sorted(
            (case.due_on, case.authority, [name[pk] for pk in case.finds.values_list("pk", flat=True)])
            for case in Case.objects.all()
        ),
        "pairs": sorted((sorted((name[one], name[two])), *rest) for one, two, *rest in pairs),
    }


def test_a_table_gives_what_recording_row_by_row_gives(hunt: Any, member: User) -> None:
    """Screened and paired in bulk, with nothing more and nothing less."""
    at, coming = now(), plan(member, *SAME)
    assert not coming.problems
    with transaction.atomic():
        finds = [
            actions.record_find(
                hunt.pk, by=member, at=at, client_id=uuid4(), materials=each.materials, **each.fields
            )
            for each in coming.new
        ]
        one_by_one = kept_of(finds)
        transaction.set_rollback(True)
    in_bulk = kept_of(saved(member, table(*SAME)))
    assert all(in_bulk.values())
    assert in_bulk == one_by_one
