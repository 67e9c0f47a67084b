"""A past outing entered wrongly is put right: what was only written down changes, what others rest on stays."""

from datetime import date, time
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse
from django.utils.timezone import localdate, localtime, now

from finds.models import Case, ScreeningRecord, Sheet, SheetRow
from finds.states import CaseState
from hunts.actions import correct_past_outing, past_change
from hunts.errors import HuntError
from hunts.forms.past import FIELDS
from hunts.models import Hunt, Track
from hunts.models.hunt import WHOLE_DAY
from hunts.past_ties import Tied
from people.models import AuditEntry, User
from permissions.models import Boundary, Site
from reports.models import IssuedReport
from tests import make
from tests.actions.test_past_outings import THEN, enter, find_of, outing, site

__all__ = ["outing", "site"]

pytestmark = pytest.mark.django_db
NEXT_DAY = date(2014, 10, 6)


def correct(outing: Hunt, by: User, **changes: Any) -> Hunt:
    hunt = Hunt.objects.get(pk=outing.pk)
    sites = changes.pop("sites", list(hunt.sites.all()))
    people = changes.pop("people", [up.user for up in hunt.sign_ups.standing()])
    said = {name: getattr(hunt, name) for name in FIELDS}
    return correct_past_outing(hunt.pk, sites, people, by=by, at=now(), **(said | changes))


def trail(outing: Hunt) -> list[AuditEntry]:
    return list(AuditEntry.objects.filter(verb="hunt.past_change", subject=f"hunts.Hunt:{outing.pk}"))


def test_what_was_written_down_wrongly_changes_and_the_trail_says_what(
    outing: Hunt, member: User, leader: User, secretary: User
) -> None:
    hunt = correct(
        outing, secretary, title="Spring plough", starts_at=time(9), ends_at=time(15, 30), leader=leader,
        people=[leader], past_basis="paper", past_why="Mr Warp's letter",
    )  # fmt: skip
    hunt.refresh_from_db()
    assert (hunt.code, hunt.title, hunt.hours_words, hunt.leader) == (
        "H2014-001",
        "Spring plough",
        "09:00 to 15:30",
        leader,
    )
    assert ({up.user for up in hunt.sign_ups.standing()}, hunt.capacity) == ({leader}, 1)
    (line,) = trail(outing)
    assert line.changes["changed"] == sorted(
        ["title", "starts_at", "ends_at", "leader", "people", "past_basis", "past_why"]
    )
    assert line.changes["values"]["starts_at"] == [WHOLE_DAY[0].isoformat(), "09:00:00"]
    assert line.changes["values"]["people"] == [sorted([member.pk, secretary.pk]), [leader.pk]]
    assert "Warp" not in str(line.changes)


def test_the_same_again_changes_nothing_and_writes_nothing(outing: Hunt, secretary: User) -> None:
    key = outing.client_id
    correct(outing, secretary)
    assert trail(outing) == []
    assert Hunt.objects.get().client_id == key


def test_on_another_day_the_sites_take_their_boundary_of_that_day(
    site: Site, outing: Hunt, secretary: User
) -> None:
    newest = site.boundaries.all()[0]
    of_2013 = Boundary.objects.create(
        site=site, geometry=newest.geometry, area_m2=1, drawn_at=make.moment(2013, 1, 1), drawn_by=secretary
    )
    correct(outing, secretary, on=date(2013, 5, 5))
    hunt = Hunt.objects.get()
    assert (hunt.on, hunt.code, hunt.hunt_sites.get().boundary) == (date(2013, 5, 5), "H2014-001", of_2013)


def test_its_finds_follow_to_the_new_day_and_are_judged_by_the_law_of_that_day(
    outing: Hunt, member: User, secretary: User
) -> None:
    find = find_of(outing, member)
    number, time_of_day = find.number, localtime(find.found_at).time()
    correct(outing, secretary, on=NEXT_DAY)
    find.refresh_from_db()
    assert (localdate(find.found_at), localtime(find.found_at).time()) == (NEXT_DAY, time_of_day)
    assert find.number == number
    latest = ScreeningRecord.objects.filter(find=find).latest("pk")
    assert latest.facts["found_at"].startswith("2014-10-06")
    assert AuditEntry.objects.filter(verb="find.change", label=str(find)).count() == 1


def test_a_table_that_speaks_of_the_old_day_gets_an_outing_of_its_own(
    site: Site, member: User, secretary: User
) -> None:
    """An import finds its outing by a key made of day and field: after the correction that key is free."""
    key = uuid4()
    first = enter(site, member, secretary, client_id=key)
    correct(first, secretary, on=NEXT_DAY)
    second = enter(site, member, secretary, client_id=key)
    assert (second.pk != first.pk, second.on) == (True, THEN)


@pytest.mark.parametrize("state", [CaseState.REPORTED, CaseState.CLOSED])
def test_the_day_stays_once_a_find_was_reported(
    outing: Hunt, member: User, secretary: User, state: CaseState
) -> None:
    case = Case.objects.create(number="C2014-001", state=state, opened_at=now())
    case.finds.add(find_of(outing, member))
    with pytest.raises(HuntError, match="Date: It stays: a find of this outing was reported under C2014-001"):
        correct(outing, secretary, on=NEXT_DAY)
    assert correct(outing, secretary, title="Other words").title == "Other words"


def test_a_report_that_came_in_between_still_holds_the_day(
    outing: Hunt, member: User, secretary: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever reports holds the finds and not the hunt, so it can happen after the outing was asked what stays."""
    case = Case.objects.create(number="C2014-001", state=CaseState.REPORTED, opened_at=now())
    case.finds.add(find_of(outing, member))
    monkeypatch.setattr(past_change, "tied", lambda hunt: Tied())
    with pytest.raises(HuntError, match="reported under C2014-001"):
        correct(outing, secretary, on=NEXT_DAY, title="x")
    assert Hunt.objects.get().title == "Winter stubble"


def test_day_and_permission_stay_once_finds_are_settled(site: Site, member: User, secretary: User) -> None:
    good = make.permission(site, starts=THEN, ends=NEXT_DAY)
    outing = enter(site, member, secretary, permission=good, past_basis="recorded", past_why="")
    sheet = Sheet.objects.create(
        number="S2014-01", title="x", permission=good, currency="GBP", made_at=now(), made_by=secretary, terms_on=THEN,
    )  # fmt: skip
    SheetRow.objects.create(sheet=sheet, find=find_of(outing, member))
    for changes in ({"on": NEXT_DAY}, {"past_basis": "word", "past_why": "x", "permission": None}):
        with pytest.raises(HuntError, match=f"It stays: finds of this outing are settled on {sheet.number}"):
            correct(outing, secretary, **changes)
    sheet.rows.update(live=False)  # replaced: nothing rests on that day any more
    assert correct(outing, secretary, on=NEXT_DAY).on == NEXT_DAY


def test_what_an_issued_report_named_stays(outing: Hunt, site: Site, secretary: User) -> None:
    IssuedReport.objects.create(
        kind="returns", number="R2014-001", hunt=outing, content={}, content_sha256="0" * 64,
        pdf_sha256="0" * 64, issued_at=now(), issued_by=secretary, recipient="A. Warp",
    )  # fmt: skip
    other = make.site(code="SF05")
    for changes in ({"on": NEXT_DAY}, {"sites": [site, other]}, {"past_basis": "paper"}):
        with pytest.raises(HuntError, match="It stays: R2014-001 was issued with it"):
            correct(outing, secretary, **changes)
    assert trail(outing) == []


def test_who_found_something_and_where_stays(outing: Hunt, member: User, secretary: User) -> None:
    find_of(outing, member)
    other = make.site(code="SF05")
    with pytest.raises(HuntError, match="It stays: a find is recorded on it"):
        correct(outing, secretary, sites=[other])
    with pytest.raises(HuntError, match=f"{member.name} stays: a find of theirs is recorded"):
        correct(outing, secretary, people=[])
    hunt = correct(outing, secretary, sites=[*outing.sites.all(), other])
    assert {site.code for site in hunt.sites.all()} == {"SF04", "SF05"}


def test_a_track_holds_the_day_it_was_walked(outing: Hunt, member: User, secretary: User) -> None:
    Track.objects.create(
        hunt=outing, user=member, sha256="a" * 64, line={}, points=2, length_m=10, added_at=now()
    )
    with pytest.raises(HuntError, match="It stays: a track of this outing carries times of that day"):
        correct(outing, secretary, on=NEXT_DAY)
    with pytest.raises(HuntError, match=f"{member.name} stays: a track"):
        correct(outing, secretary, people=[])


def test_nobody_else_corrects_and_no_other_hunt_is_corrected(
    outing: Hunt, member: User, leader: User, committee: User, secretary: User
) -> None:
    for user in (member, leader, committee):
        with pytest.raises(PermissionDenied):
            correct(outing, user, title="x")
    with pytest.raises(HuntError, match="is no past outing"):
        correct(make.hunt(), secretary, title="x")


def test_a_day_that_is_not_past_or_not_covered_is_refused_whole(
    outing: Hunt, site: Site, member: User, secretary: User
) -> None:
    late = make.permission(site)
    for changes, words in (
        ({"on": localdate()}, "is not past"),
        ({"past_basis": "recorded", "permission": late}, "was not in force"),
    ):
        with pytest.raises(HuntError, match=words):
            correct(outing, secretary, title="x", **changes)
    assert Hunt.objects.get().title == "Winter stubble"


# Its page


def sent(outing: Hunt, **changes: Any) -> dict[str, Any]:
    people = [up.user_id for up in outing.sign_ups.standing()]
    data = {
        "on": "2014-10-05", "title": "Winter stubble", "sites": [site.pk for site in outing.sites.all()],
        "leader": outing.leader_id, "people": people, "past_basis": "word", "past_why": "notebook of 2014, page 12",
    }  # fmt: skip
    return data | changes


def test_the_page_shows_what_is_on_record_and_saves_what_is_put_right(
    outing: Hunt, secretary: User, client_of: Any
) -> None:
    client, url = client_of(secretary), reverse("hunts:past_edit", args=[outing.pk])
    assert url in client.get(reverse("hunts:detail", args=[outing.pk])).content.decode()
    page = client.get(url).content.decode()
    assert 'value="2014-10-05"' in page
    assert 'value="23:59"' not in page  # nobody wrote the times down
    refused = client.post(url, sent(outing, starts_at="09:00", title="Kept as typed")).content.decode()
    assert "Give both times, or leave both empty." in refused
    assert "Kept as typed" in refused
    done = client.post(
        url, sent(outing, title="Plough of 2014", on="2014-10-06"), follow=True
    ).content.decode()
    assert "The changes are saved." in done
    assert "Plough of 2014" in done


def test_the_page_says_beside_a_field_why_it_stays_and_a_forged_value_changes_nothing(
    outing: Hunt, member: User, secretary: User, client_of: Any
) -> None:
    case = Case.objects.create(number="C2014-001", state=CaseState.REPORTED, opened_at=now())
    case.finds.add(find_of(outing, member))
    client, url = client_of(secretary), reverse("hunts:past_edit", args=[outing.pk])
    assert "reported under C2014-001 with this day" in client.get(url).content.decode()
    client.post(url, sent(outing, on="2014-10-06", title="New words"))
    hunt = Hunt.objects.get()
    assert (hunt.on, hunt.title) == (THEN, "New words")
    refused = client.post(url, sent(outing, people=[])).content.decode()
    assert f"{member.name} stays: a find of theirs is recorded." in refused


def test_a_hunt_that_was_planned_here_has_no_such_page(secretary: User, client_of: Any) -> None:
    url = reverse("hunts:past_edit", args=[make.hunt().pk])
    assert client_of(secretary).get(url).status_code == 404
