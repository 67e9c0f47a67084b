"""Visit reports, filled-holes reports and seasons: what the builders say against the records counted another way."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import localdate, now

from finds.forms.filters import season_days, season_of
from finds.models import Find, FindMaterial, Valuation
from hunts.actions import close_hunt
from hunts.errors import HuntError
from hunts.models import Attendance, Hole, HoleRecheck, Hunt
from people.models import AuditEntry, Letter
from reports import actions
from reports.actions import issue_report
from reports.blocks import Bullets, Heading, MapBlock, PhotoGrid, PhotoPair, Report, Table
from reports.content import digest, from_data
from reports.drafts import draft_for_hunt
from reports.models import Kind, Thanks, VisitDraft
from reports.pdf import render
from reports.plain import plain_report
from reports.today_reports import reports_late, reports_ready, unreported
from reports.year_page import address_lines, draft_for_year, to_thank
from tests import make
from tests.views.world import World, build, shared_world

pytestmark = [pytest.mark.django_db, pytest.mark.once]  # papers are made of what was read


def arrange() -> World:
    made = build()
    Hunt.objects.filter(pk=made.hunt.pk).update(state="closed", closed_at=now())
    made.hunt.refresh_from_db()
    return made


standing_world, world = shared_world(arrange)


def report_of(world: World, kind: Kind = Kind.VISIT) -> Report:
    return draft_for_hunt(kind, world.hunt, world.landholder, on=localdate()).report


def season(world: World, landholder: object = None) -> Report:
    return draft_for_year(season_of(localdate()), landholder, on=localdate()).report  # type: ignore[arg-type]


def table(report: Report, caption: str) -> tuple[tuple[str, ...], ...]:
    return next(b.rows for b in report.blocks if isinstance(b, Table) and b.caption == caption)


def words(report: Report) -> str:
    return str(report)


# What the leader adds


def save(world: World, **fields: object) -> VisitDraft:
    return actions.save_visit_draft(world.hunt.pk, by=world.leader, at=now(), **fields)


def test_the_leaders_words_stand_in_the_report(world: World) -> None:
    save(
        world,
        leader_report="A dry day.",
        noticed="Two ewes were out on the lane; we told the shepherd.",
        damage="",
        decide="May we mend the stile?\nWho has the key?",
        next_dates="6 or 13 December",
    )
    world.hunt.refresh_from_db()
    said = words(report_of(world))
    for expected in ("A dry day.", "Two ewes", "None is known to us", "6 or 13 December"):
        assert expected in said
    items = [b.items for b in report_of(world).blocks if isinstance(b, Bullets)]
    assert ("May we mend the stile?", "Who has the key?") in items


def test_saving_twice_changes_nothing_and_leaves_one_line(world: World) -> None:
    for _ in range(2):
        save(world, decide="May we mend the stile?")
    assert VisitDraft.objects.count() == 1
    assert AuditEntry.objects.filter(verb="visit_draft.save").count() == 1


def test_a_hunt_that_still_runs_has_no_visit_report_to_write(world: World) -> None:
    Hunt.objects.filter(pk=world.hunt.pk).update(state="running")
    with pytest.raises(HuntError, match="when it is closed"):
        save(world, decide="x")
    assert not VisitDraft.objects.exists()


@pytest.mark.parametrize("who", ["member", "committee", "stranger"])
def test_only_those_who_issue_reports_write_them(world: World, who: str) -> None:
    with pytest.raises(PermissionDenied):
        actions.save_visit_draft(world.hunt.pk, by=world.reader(who), at=now(), decide="x")


def test_people_are_counted_without_names_where_the_leader_chose_so(world: World) -> None:
    assert world.member.name in words(report_of(world))
    save(world, name_people=False)
    said = report_of(world)
    assert next(fact.value for fact in said.facts if fact.label == "People") == "1"
    assert f"1: {world.member.name}" not in words(said)


def test_where_only_named_people_may_come_they_are_named_all_the_same(world: World) -> None:
    save(world, name_people=False)
    type(world.permission).objects.filter(pk=world.permission.pk).update(named_only=True)
    world.hunt.refresh_from_db()
    assert f"1: {world.member.name}" in words(report_of(world))


def test_what_was_noticed_when_the_hunt_closed_is_kept(world: World) -> None:
    Hunt.objects.filter(pk=world.hunt.pk).update(state="running")
    Attendance.objects.update(signed_out_at=now())
    hunt = close_hunt(
        world.hunt.pk,
        by=world.leader,
        at=now(),
        counted=1,
        unfilled_why="dark",
        noticed=" All shut ",
        damage="a post",
    )
    assert (hunt.noticed, hunt.damage) == ("All shut", "a post")
    world.hunt.refresh_from_db()
    assert "Damage: a post" in words(report_of(world))
    assert "dark" in words(report_of(world))


def test_a_valued_find_waits_for_a_decision_and_a_held_one_never_does(world: World) -> None:
    for find in (world.find, world.locked):
        Valuation.objects.create(
            find=find, on=localdate(), valuer="Ida Drift", method="compared", currency="GBP", low=Decimal(5),
            high=Decimal(8), at=now(), by=world.secretary,
        )  # fmt: skip
    blocks = report_of(world).blocks
    place = next(n for n, b in enumerate(blocks) if isinstance(b, Heading) and b.text == "For you to decide")
    listed = blocks[place + 1]
    assert isinstance(listed, Bullets)
    assert [item.split(",")[0] for item in listed.items] == [world.find.number]


# The filled-holes report


def test_checks_and_later_looks_are_counted_as_the_records_count_them(world: World) -> None:
    filled = now() - timedelta(30)
    steward = world.leader
    for n in range(5):
        checked = (
            {"state": "checked", "checked_at": filled, "checked_by": steward}
            if n < 3
            else {"state": "filled"}
        )
        hole = make.hole(
            world.hunt, world.member, ground="pasture", filled_at=filled, filled_by=world.member, **checked
        )
    sound = HoleRecheck.objects.create(hole=hole, at=now(), by=steward, sound=True, words="level")
    Hole.objects.filter(pk=hole.pk).update(reopened_why="a hollow was left")
    report = report_of(world, Kind.HOLES)
    rows = table(report, "Who checked, and when")
    assert [(row[0], int(row[1])) for row in rows] == [
        (steward.name, Hole.objects.filter(hunt=world.hunt, state="checked", checked_by=steward).count())
    ]
    assert table(report, "Opened again and put right")[0][:2] == (str(hole.number), "a hollow was left")
    look = table(report, "Looks at settled holes")[0]
    assert look[0] == str(sound.hole.number)
    assert look[2:] == ("30", steward.name, "sound: level")
    total = Hole.objects.filter(hunt=world.hunt).count()
    assert f"looked at 3 of {total} holes" in words(report)


def test_many_pairs_are_printed_four_across_with_whole_pairs_side_by_side(world: World) -> None:
    holes = [make.hole(world.hunt, world.member) for _ in range(26)]
    for hole in holes:
        make.hole_photo(hole, stage="after")
    for hole in holes[:-1]:
        make.hole_photo(hole, stage="before")
    report = report_of(world, Kind.HOLES)
    grids = [b for b in report.blocks if isinstance(b, PhotoGrid)]
    assert [(len(g.photos), g.columns) for g in grids] == [(50, 4), (1, 4)]
    assert [p.caption for p in grids[0].photos[:2]] == [
        f"Hole {holes[0].number}, before",
        f"Hole {holes[0].number}, filled",
    ]
    assert not [b for b in report.blocks if isinstance(b, PhotoPair)]


# Issuing tells the landholder once


def issue(world: World, **fields: object) -> object:
    draft = draft_for_hunt(Kind.VISIT, world.hunt, world.landholder, on=localdate())
    who = {"by": world.leader, "at": now(), "hunt": world.hunt, "landholder": world.landholder}
    return issue_report(
        Kind.VISIT,
        draft,
        b"%PDF-1.7 a test",
        address_of=lambda key: f"https://club.example/l/{key}/",
        **(who | fields),
    )


def test_the_landholder_is_told_once_with_the_address_and_without_a_place(world: World) -> None:
    for _ in range(2):
        issue(world)
    letter = Letter.objects.get(kind="report")
    assert letter.to == world.landholder.email
    assert "https://club.example/l/" in letter.text
    assert "53.6" not in letter.text + letter.html
    assert world.find.number not in letter.text


def test_without_a_link_or_an_address_nobody_is_written_to(world: World) -> None:
    world.landholder.links.update(revoked_at=now())
    issue(world)
    assert not Letter.objects.filter(kind="report").exists()


# Today


def test_a_report_is_awaited_until_every_landholder_has_theirs(world: World) -> None:
    other = make.landholder(name="Bo Wold")
    world.site.parties.create(landholder=other, capacity="agent")
    issue(world)
    assert world.hunt in unreported(Hunt.objects.all())
    draft = draft_for_hunt(Kind.VISIT, world.hunt, other, on=localdate())
    issue_report(
        Kind.VISIT, draft, b"%PDF-1.7 x", by=world.leader, at=now(), hunt=world.hunt, landholder=other
    )
    assert world.hunt not in unreported(Hunt.objects.all())


@pytest.mark.parametrize(("days", "late"), [(-6, False), (-7, False), (-8, True)])
def test_a_week_after_the_visit_the_report_is_late(world: World, days: int, late: bool) -> None:
    """Trade practice asks for it within seven days: the seventh is the last."""
    Hunt.objects.filter(pk=world.hunt.pk).update(on=make.days(days))
    assert bool(reports_late(world.leader, now()).total) is late
    assert bool(reports_ready(world.leader, now()).total) is not late


def test_the_report_waits_for_its_own_leader_and_the_secretary(world: World) -> None:
    from people.rights import Role

    another = make.person(Role.LEADER)
    awaited = {
        who.pk
        for who in (world.leader, world.secretary, another, world.member)
        if reports_ready(who, now()).total
    }
    assert awaited == {world.leader.pk, world.secretary.pk}


# The season


def test_the_season_counts_what_the_records_hold(world: World) -> None:
    """Each number counted here row by row in Python, there by the database."""
    first, last = season_days(season_of(localdate()))
    made = make.hunt(
        world.site,
        leader=world.leader,
        permission_=world.permission,
        state="closed",
        scrap_kg=Decimal("1.25"),
    )
    make.attendance(
        made, world.member, signed_in_at=now() - timedelta(hours=5), signed_out_at=now() - timedelta(hours=2)
    )
    FindMaterial.objects.create(
        find=make.find(made, world.member, period="Roman", count=3), material="silver"
    )
    hunts = [h for h in Hunt.objects.all() if h.state == "closed" and first <= h.on <= last]
    assert len(hunts) == 2
    finds = [f for f in Find.objects.all() if f.hunt in hunts and f.withdrawn_at is None]
    stays = [
        a for a in Attendance.objects.select_related("sign_up") if a.sign_up.hunt_id in {h.pk for h in hunts}
    ]
    hours = sum((a.signed_out_at - a.signed_in_at).total_seconds() / 3600 for a in stays if a.signed_out_at)
    report = season(world)
    facts = {fact.label: fact.value for fact in report.facts}
    assert facts["Visits"] == "2 to 1 fields"
    assert facts["Finds recorded"] == f"{len(finds)} records, {sum(f.count for f in finds)} objects"
    assert table(report, "Visits by month")[-1] == ("All", "2", str(len(stays)), f"{hours:,.1f}")
    periods = dict(table(report, "Finds by period"))
    assert periods["Roman"] == "1"
    assert sum(int(n) for n in periods.values()) == len(finds)
    assert "1.25 kg of scrap" in words(report)
    assert "on 1 visits it was not weighed" in words(report)


def test_a_landholders_season_holds_their_own_land_only(world: World) -> None:
    theirs = make.site(owner=make.landholder(name="Bo Wold"), name="Wold Piece")
    other = make.hunt(theirs, leader=world.leader, permission_=make.permission(theirs), state="closed")
    make.find(other, world.member, site=theirs, period="Viking")
    mine, clubs = season(world, world.landholder), season(world)
    assert "Viking" in words(clubs)
    assert "Viking" not in words(mine)
    assert "Bo Wold" not in words(mine)
    assert {f.label: f.value for f in mine.facts}["Visits"] == "1 to 1 fields"
    assert "Ada Warp" not in words(clubs)  # the club's own report names farms, not people


def test_who_sold_the_land_before_a_visit_has_no_part_in_it(world: World) -> None:
    world.site.parties.filter(landholder=world.landholder).update(until=make.days(-1))
    assert "There was no visit" in words(season(world, world.landholder))


def test_an_injury_is_told_to_the_club_and_to_no_landholder(world: World) -> None:
    world.hunt.incidents.create(kind="injury", words="x", happened_at=now(), recorded_by=world.leader)
    assert "injury or illness: 1" in words(season(world))
    assert "injury" not in words(season(world, world.landholder))


def test_the_seasons_charts_bear_words_and_the_file_is_tagged(world: World) -> None:
    report = season(world)
    charts = [b for b in report.blocks if isinstance(b, MapBlock)]
    assert len(charts) == 3
    assert all("The same numbers stand in the table" in chart.alt for chart in charts)
    assert render(report, {}).is_ua
    assert "Visits by month" in plain_report(report)


def test_a_season_is_frozen_and_the_same_twice_is_one_issue(world: World) -> None:
    year = season_of(localdate())
    draft = draft_for_year(year, None, on=localdate())
    row = issue_report(Kind.YEAR, draft, b"%PDF-1.7 a", by=world.leader, at=now(), year=year)
    again = draft_for_year(year, None, on=localdate())
    assert issue_report(Kind.YEAR, again, b"%PDF-1.7 b", by=world.leader, at=now(), year=year).pk == row.pk
    make.find(world.hunt, world.member, period="Roman")
    second = draft_for_year(year, None, on=localdate())
    newer = issue_report(Kind.YEAR, second, b"%PDF-1.7 c", by=world.leader, at=now(), year=year)
    assert (row.number, newer.number) == (f"Y-{year}-1", f"Y-{year}-2")
    row.refresh_from_db()
    assert digest(from_data(row.content)) == row.content_sha256
    assert "Roman" not in str(row.content)


def test_reading_a_season_takes_as_many_queries_for_one_hunt_as_for_ten(
    world: World, django_assert_max_num_queries
) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as few:
        season(world)
    for _ in range(9):
        hunt = make.hunt(
            make.site(owner=world.landholder),
            leader=world.leader,
            permission_=world.permission,
            state="closed",
        )
        make.attendance(hunt, world.member, signed_out_at=now())
        make.find(hunt, world.member)
    with django_assert_max_num_queries(len(few)):
        season(world)


# Thanks


def test_everybody_whose_land_was_searched_is_thanked_once(world: World) -> None:
    year = season_of(localdate())
    rows = to_thank(year)
    assert [(row.landholder, row.what_for) for row in rows] == [
        (world.landholder, f"1 visit to {world.site.name}")
    ]
    for how in ("a card", "a hamper"):
        actions.thank_landholder(
            world.landholder, year, by=world.secretary, at=now(), client_id=uuid4(), on=localdate(), how=how
        )
    assert [row.how for row in Thanks.objects.all()] == ["a card"]
    assert to_thank(year)[0].thanks is not None
    assert "1 of 1 have been thanked" in words(season(world))


@pytest.mark.parametrize("who", ["member", "leader", "committee", "stranger"])
def test_nobody_else_writes_thanks_down(world: World, who: str) -> None:
    with pytest.raises(PermissionDenied):
        actions.thank_landholder(
            world.landholder, 2026, by=world.reader(who), at=now(), client_id=uuid4(), on=localdate(), how="x"
        )


def test_an_address_label_needs_an_address(world: World) -> None:
    assert address_lines(world.landholder) == []
    world.landholder.address = "Saltmere Farm\n\n Ravensand "
    assert address_lines(world.landholder) == ["Ada Warp", "Saltmere Farm", "Ravensand"]
