"""Outings from before the club's records: entered, honest about what nobody kept, and good enough for old finds."""

from datetime import date, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils.timezone import localdate, localtime, now

from finds.actions import make_sheet, record_find
from finds.models import Find
from finds.patterns import efforts
from finds.settlement import SettlementError
from hunts.actions import enter_past_outing, past, plan_hunt, remove_past_outing
from hunts.codes import next_code
from hunts.errors import HuntError
from hunts.gate import gate_now
from hunts.gates import gates_now
from hunts.models import Hunt
from people.models import AuditEntry, User
from people.rights import Right
from permissions.models import Boundary, Site
from reports.build.heritage_effort import effort_blocks, effort_of
from reports.build.returns import returns_report
from reports.build.year_figures import year_figures
from reports.today_reports import unreported
from tests import make
from tests.actions.test_find_imports import plan as plan_of
from tests.actions.test_find_imports import row

pytestmark = pytest.mark.django_db
THEN = date(2014, 10, 5)


@pytest.fixture
def site() -> Site:
    make.club()
    return make.site(code="SF04")


@pytest.fixture
def outing(site: Site, member: User, secretary: User) -> Hunt:
    return enter(site, member, secretary)


def enter(site: Site, member: User, by: User, **changes: Any) -> Hunt:
    values: dict[str, Any] = {
        "client_id": uuid4(),
        "on": THEN,
        "title": "Winter stubble",
        "leader": by,
        "past_basis": "word",
        "past_why": "notebook of 2014, page 12",
    }
    return enter_past_outing([site], [member], by=by, at=now(), **(values | changes))


def test_it_is_a_closed_hunt_without_a_permission_or_an_answer_of_the_gate(
    outing: Hunt, site: Site, member: User, secretary: User
) -> None:
    assert (outing.code, outing.state, outing.permission, outing.gate_answer) == (
        "H2014-001",
        "closed",
        None,
        {},
    )
    assert {up.user for up in outing.sign_ups.standing()} == {member, secretary}
    assert outing.hunt_sites.get().boundary == site.boundaries.all()[0]
    assert outing.hours_words == "times not recorded"
    assert outing.permission_words == "by word (notebook of 2014, page 12)"
    with pytest.raises(HuntError, match="the gate was not asked"):
        gate_now(outing, at=now())
    assert gates_now([outing], at=now()) == {}


def test_sent_twice_at_once_it_is_one_outing(
    site: Site, member: User, secretary: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other request gets through between our look for its key and our writing."""
    key, others = uuid4(), []

    def while_the_other_writes(on: date) -> str:
        monkeypatch.undo()
        others.append(enter(site, member, secretary, client_id=key))
        return next_code(on)

    monkeypatch.setattr(past, "next_code", while_the_other_writes)
    mine = enter(site, member, secretary, client_id=key)
    assert [mine] == others == list(Hunt.objects.all())
    assert mine.sign_ups.count() == 2
    assert AuditEntry.objects.filter(verb="hunt.past").count() == 1


def test_sent_twice_it_is_one_outing(site: Site, member: User, secretary: User) -> None:
    key = uuid4()
    assert enter(site, member, secretary, client_id=key) == enter(site, member, secretary, client_id=key)
    assert Hunt.objects.count() == 1


def test_it_keeps_the_boundary_of_its_day(site: Site, member: User, secretary: User) -> None:
    newest = site.boundaries.all()[0]
    of_the_day = Boundary.objects.create(
        site=site, geometry=newest.geometry, area_m2=1, drawn_at=make.moment(2013, 1, 1), drawn_by=secretary
    )
    Boundary.objects.create(
        site=site, geometry=newest.geometry, area_m2=2, drawn_at=make.moment(2015, 1, 1), drawn_by=secretary
    )
    assert enter(site, member, secretary).hunt_sites.get().boundary == of_the_day


@pytest.mark.parametrize("day", [localdate(), localdate() + timedelta(3)])
def test_today_is_not_past(site: Site, member: User, secretary: User, day: date) -> None:
    with pytest.raises(HuntError, match="is not past; plan a hunt"):
        enter(site, member, secretary, on=day)


def test_only_whoever_keeps_permissions_enters_one(
    site: Site, member: User, leader: User, committee: User
) -> None:
    for user in (member, leader, committee):
        assert not user.holds(Right.MANAGE_PERMISSIONS)
        with pytest.raises(PermissionDenied):
            enter(site, member, user)


def test_a_recorded_permission_has_to_cover_field_and_day(site: Site, member: User, secretary: User) -> None:
    other = make.permission(make.site(code="SF05"), starts=THEN, ends=THEN)
    late = make.permission(site)
    good = make.permission(site, starts=THEN, ends=THEN)
    recorded = {"past_basis": "recorded", "past_why": ""}
    with pytest.raises(HuntError, match="SF04 is not part of"):
        enter(site, member, secretary, permission=other, **recorded)
    with pytest.raises(HuntError, match="was not in force on 5 Oct 2014"):
        enter(site, member, secretary, permission=late, **recorded)
    assert enter(site, member, secretary, permission=good, **recorded).permission_words == str(good)


@pytest.mark.parametrize(
    "fields",
    [
        {"past_basis": ""},  # a hunt of today is never without its permission
        {"past_basis": "word", "past_why": ""},
        {"past_basis": "word", "state": "open"},
        {"past_basis": "recorded"},
    ],
)
def test_the_database_holds_the_rule(outing: Hunt, fields: dict[str, str]) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        Hunt.objects.filter(pk=outing.pk).update(**fields)


def test_planning_still_needs_a_permission_and_a_day_to_come(outing: Hunt, site: Site, leader: User) -> None:
    hunt = plan_hunt(
        make.permission(site), [site], by=leader, at=now(), client_id=uuid4(), title="x", on=localdate(),
        starts_at=localtime(now()).time().replace(hour=9), ends_at=localtime(now()).time().replace(hour=16),
        leader=leader, capacity=3,
    )  # fmt: skip
    with pytest.raises(IntegrityError), transaction.atomic():
        Hunt.objects.filter(pk=hunt.pk).update(permission=None)


# Its finds


def find_of(outing: Hunt, finder: User) -> Find:
    return record_find(
        outing.pk, by=finder, at=now(), client_id=uuid4(), materials={"silver": None}, finder=finder,
        site=outing.sites.get(), found_at=outing.finishes, object_type="brooch", is_coin="no", period="medieval",
    )  # fmt: skip


def test_an_old_find_is_recorded_and_screened_by_the_law_of_its_day(outing: Hunt, member: User) -> None:
    find = find_of(outing, member)
    assert find.number.startswith("F2014-")
    record = find.screenings.get()
    assert record.facts["found_at"].startswith("2014-10-05")


def test_old_finds_are_imported_by_its_code(outing: Hunt, member: User) -> None:
    plan = plan_of(member, row(hunt=outing.code, site="", found_on=""))
    assert plan.problems == []
    assert [each.hunt for each in plan.new] == [outing]


def test_an_unknown_code_says_how_old_finds_get_their_outing(outing: Hunt, member: User) -> None:
    plan = plan_of(member, row(hunt="H2013-001"))
    assert "the secretary enters a past outing first" in plan.problems[0].words


# What reports say


def test_nobody_kept_hours_so_none_are_counted(outing: Hunt, member: User, secretary: User) -> None:
    find_of(outing, member)
    held = make.hunt(outing.sites.get(), state="closed", on=localdate() - timedelta(2))
    make.attendance(held, member, signed_out_at=now())
    made = efforts(secretary, {}, Find.objects.visible_to(secretary))
    assert (made.hunt_total, made.past, sum(each.finds for each in made.seasons)) == (1, 1, 0)
    effort = effort_of(outing)
    assert (effort.people, effort.hours, effort.finds) == (None, None, 1)
    said = repr(effort_blocks([effort], [], 1))
    assert "A dash stands where an outing was entered later" in said
    assert "'0.0'" not in said


def test_the_season_counts_it_and_says_that_it_came_later(outing: Hunt) -> None:
    from reports.build.year import year_report

    assert year_figures(2014, None).hunts == [outing]
    facts = {each.label: each.value for each in year_report(2014, None, number="Y", on=localdate()).facts}
    assert "1 entered later from older records" in facts["Visits"]


def test_no_visit_report_is_due_and_none_is_made(outing: Hunt, secretary: User, client_of: Any) -> None:
    assert outing not in unreported(Hunt.objects.all())
    client = client_of(secretary)
    for kind in ("visit", "holes"):
        assert client.get(reverse(f"reports:{kind}", args=[outing.pk])).status_code == 404
        assert client.post(reverse("reports:issue", args=[kind, outing.pk])).status_code == 404
    assert client.get(reverse("reports:returns", args=[outing.pk])).status_code == 200


def test_returns_say_that_no_terms_are_on_record(outing: Hunt, member: User) -> None:
    find_of(outing, member)
    said = repr(returns_report(outing, None, number="R", on=localdate()).blocks)
    assert "Permission: by word (notebook of 2014, page 12). No terms of sharing are on record" in said


def test_what_has_no_terms_is_not_settled(outing: Hunt, member: User, secretary: User) -> None:
    find = find_of(outing, member)
    Find.objects.filter(pk=find.pk).update(locked=False)
    with pytest.raises(SettlementError, match="H2014-001, a past outing without a permission on record"):
        make_sheet([find.pk], by=secretary, at=now(), client_id=uuid4(), title="x")


# Pages


def test_the_secretary_enters_one_and_its_page_is_honest(
    site: Site, member: User, secretary: User, client_of: Any
) -> None:
    client, url = client_of(secretary), reverse("hunts:past_add")
    data = {
        "client_id": str(uuid4()), "on": "2014-10-05", "title": "Winter stubble", "sites": [site.pk],
        "leader": member.pk, "people": [member.pk], "past_basis": "word", "past_why": "",
    }  # fmt: skip
    refused = client.post(url, data).content.decode()
    assert "Say what is known of the permission" in refused
    assert 'value="Winter stubble"' in refused
    done = client.post(url, data | {"past_why": "notebook, page 12"}, follow=True).content.decode()
    assert "The gate was not asked and no answer of it is on record." in done
    assert "by word (notebook, page 12)" in done
    assert "times not recorded" in done
    assert "Visit report" not in done
    assert "Many finds quickly" in done or "Enter finds quickly" in done
    outing = Hunt.objects.get()
    for page in ("finds:record", "finds:quick", "hunts:coverage", "hunts:hole_list", "hunts:briefing", "hunts:risks",
                 "hunts:ground_plan", "hunts:emergency_card"):  # fmt: skip
        assert client.get(reverse(page, args=[outing.pk])).status_code == 200
    assert outing.code in client.get(reverse("hunts:list") + "?when=past").content.decode()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"on": "2199-01-01"}, "1 Jan 2199 is not past"),
        ({"starts_at": "09:00"}, "Give both times, or leave both empty."),
        ({"starts_at": "16:00", "ends_at": "09:00"}, "09:00 is not after the start at 16:00"),
        ({"past_basis": "recorded"}, "Choose the permission, or say that it is not recorded here."),
        ({"past_basis": ""}, "This field is required."),
    ],
)
def test_what_does_not_fit_is_said_beside_its_field(
    site: Site, secretary: User, client_of: Any, changes: dict[str, str], words: str
) -> None:
    data = {
        "on": "2014-10-05",
        "title": "x",
        "sites": [site.pk],
        "leader": secretary.pk,
        "past_basis": "word",
    }
    text = (
        client_of(secretary)
        .post(reverse("hunts:past_add"), data | {"past_why": "x"} | changes)
        .content.decode()
    )
    assert words in text
    assert not Hunt.objects.exists()


def test_one_entered_wrongly_is_taken_away_while_nothing_hangs_on_it(
    outing: Hunt, member: User, secretary: User
) -> None:
    find_of(outing, member)
    with pytest.raises(HuntError, match="so it stays"):
        remove_past_outing(outing.pk, by=secretary, at=now())
    assert outing.sign_ups.count() == 2
    other = enter(outing.sites.get(), member, secretary)
    remove_past_outing(other.pk, by=secretary, at=now())
    assert list(Hunt.objects.all()) == [outing]
    with pytest.raises(HuntError, match="is no past outing"):
        remove_past_outing(make.hunt().pk, by=secretary, at=now())
