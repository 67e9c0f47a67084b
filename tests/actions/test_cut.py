"""Split and merged ground: nothing opens that was not open, the past stays, and it is said in words."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import localdate, now

from geo.cut import merge, split
from people.models import AuditEntry, User
from permissions import actions
from permissions.actions import CutError, Part
from permissions.carry import CannotCarryError
from permissions.gate import Answer
from permissions.gate_facts import answers_for
from permissions.models import Licence, NoGoArea, Permission, Site, Succession
from permissions.models.site import Capacity, Tenure
from tests import make
from web.taken import TakenError

# East of make.SQUARE, sharing its edge.
EAST = {
    "type": "MultiPolygon",
    "coordinates": [[[[0.153, 53.6], [0.156, 53.6], [0.156, 53.6018], [0.153, 53.6018], [0.153, 53.6]]]],
}
EAST_BOX = {"boundary": EAST, "min_lon": 0.153, "max_lon": 0.156}
MIDDLE = {"type": "LineString", "coordinates": [[0.1515, 53.599], [0.1515, 53.603]]}


@pytest.fixture
def site(secretary: User) -> Site:
    return make.site(
        code="SF04", name="Saltmere Forty", by=secretary, hazards="bull", gate_lat=53.6, gate_lon=0.15
    )


def halves(site: Site) -> list[Part]:
    cut = split(site.boundary, MIDDLE)
    return [Part(b, uuid4(), f"SF04{x}", f"Forty {x}") for b, x in zip(cut.parts, "AB", strict=True)]


def cut(site: Site, by: User, parts: list[Part] | None = None) -> list[Site]:
    return actions.split_site(site.pk, by=by, at=now(), on=localdate(), parts=parts or halves(site))


def join(by: User, *sites: Site, code: str = "SF04M") -> Site:
    part = Part(merge(s.boundary for s in sites), uuid4(), code, "Great Forty")
    return actions.merge_sites([s.pk for s in sites], by=by, at=now(), on=localdate(), part=part)


def neighbour(by: User, **fields: Any) -> Site:
    return make.site(by=by, **({"code": "SF05"} | EAST_BOX | fields))


def answer(site: Site, days: int = 0) -> Answer:
    return answers_for([site], localdate() + timedelta(days))[site.pk].answer


def test_a_split_site_is_retired_and_names_its_parts_which_are_open(secretary: User, site: Site) -> None:
    make.permission(site)
    new = cut(site, secretary)
    site.refresh_from_db()
    assert site.retired_on == localdate()
    assert [answer(s) for s in new] == [Answer.OPEN, Answer.OPEN]
    reason = answers_for([site], localdate())[site.pk].reasons[0]
    assert reason.words.endswith("its ground is now SF04A Forty A and SF04B Forty B.")
    assert answer(site, -1) is Answer.OPEN  # its past is as it was
    assert sum(s.area_m2 for s in new) == pytest.approx(make.site(by=secretary).area_m2, rel=0.005)


def test_what_is_known_of_the_ground_goes_over(secretary: User, site: Site) -> None:
    site.closed_periods.create(reason="shoot", starts=localdate(), ends=localdate())
    for part in cut(site, secretary):
        assert (part.hazards, part.holding, part.gate_lat) == ("bull", "Saltmere Farm", 53.6)
        assert part.parties.get().capacity == Capacity.OWNER
        assert part.closed_periods.get().reason == "shoot"
        state = part.field_states.get()
        assert (state.crop, state.on) == ("stubble", localdate() - timedelta(3))
        assert state.said_by.startswith("owner (SF04, ")
        assert part.protected_checks.get().checked_on == localdate() - timedelta(30)


def test_no_go_ground_goes_to_the_part_it_reaches(secretary: User, site: Site) -> None:
    west = [[0.150, 53.6], [0.1505, 53.6], [0.1505, 53.6018], [0.150, 53.6018], [0.150, 53.6]]
    area = {"type": "MultiPolygon", "coordinates": [[west]]}
    NoGoArea.objects.create(site=site, reason="beck", geometry=area, buffer_m=5)
    new = sorted(cut(site, secretary), key=lambda s: s.min_lon or 0)
    assert [s.no_go.count() for s in new] == [1, 0]
    assert new[0].no_go_share == pytest.approx(0.38, abs=0.01)  # 33.1 m and 5 m of 99.3 m


def test_an_old_hunt_keeps_its_site_and_the_boundary_of_its_day(secretary: User, site: Site) -> None:
    hunt = make.hunt(site, state="closed")
    before = site.boundary
    cut(site, secretary)
    kept = hunt.hunt_sites.get()
    assert (kept.site, kept.boundary.geometry) == (site, before)


def test_split_twice_by_the_same_form_is_split_once(secretary: User, site: Site) -> None:
    parts = halves(site)
    assert cut(site, secretary, parts) == cut(site, secretary, parts)
    assert Succession.objects.count() == 2
    assert AuditEntry.objects.filter(verb="site.split").count() == 1


def test_a_code_in_use_leaves_everything_as_it_was(secretary: User, site: Site) -> None:
    make.site(code="SF04B", by=secretary)
    with pytest.raises(TakenError):
        cut(site, secretary)
    site.refresh_from_db()
    assert site.retired_on is None
    assert not Site.objects.filter(code="SF04A").exists()


def test_a_site_is_not_split_under_a_running_hunt_or_twice(secretary: User, site: Site) -> None:
    hunt = make.hunt(site, state="running", started_at=now())
    with pytest.raises(CutError, match="A hunt is running on SF04"):
        cut(site, secretary)
    type(hunt).objects.update(state="closed")
    parts = halves(site)
    cut(site, secretary, parts)
    with pytest.raises(CutError, match="no longer used"):
        cut(site, secretary, [Part(p.boundary, uuid4(), f"X{n}", "X") for n, p in enumerate(parts)])


def test_a_leader_may_neither_split_nor_merge(leader: User, secretary: User, site: Site) -> None:
    with pytest.raises(PermissionDenied):
        cut(site, leader)
    with pytest.raises(PermissionDenied):
        join(leader, site, neighbour(secretary))


def test_merged_ground_under_one_permission_is_open(secretary: User, site: Site) -> None:
    owner = site.parties.get().landholder
    other = neighbour(secretary, owner=owner)
    make.permission(site, other)
    new = join(secretary, site, other)
    assert answer(new) is Answer.OPEN
    assert new.parties.count() == 1
    assert new.field_states.count() == 2
    assert new.area_m2 == pytest.approx(79_500, rel=0.005)


def test_a_permission_over_one_of_them_does_not_go_on(secretary: User, site: Site) -> None:
    other = neighbour(secretary)
    for each in (site, other):
        make.permission(each, reference=f"P-{each.code}")
    new = join(secretary, site, other)
    assert not new.permissions.exists()
    assert answer(new) is Answer.SHUT
    said = Succession.objects.filter(after=new)[0].said
    assert "Permission P-SF04 covers only part of it and does not go on: ask for the rest." in said


def test_a_consent_for_one_of_them_does_not_reach_the_merged_site(secretary: User, site: Site) -> None:
    other = neighbour(secretary)
    both = make.permission(site, other)
    for each in (site, other):
        both.consents.get(landholder=each.parties.get().landholder).sites.set([each])
    new = join(secretary, site, other)
    assert list(new.permissions.all()) == [both]
    assert answer(new) is Answer.SHUT


def test_every_owner_keeps_a_say_over_the_merged_site(secretary: User, site: Site) -> None:
    new = join(secretary, site, neighbour(secretary))
    assert new.parties.filter(capacity=Capacity.OWNER).count() == 2


def test_what_differs_is_not_known(secretary: User, site: Site) -> None:
    other = neighbour(secretary, tenure=Tenure.LET, church_land="yes", hazards="well", holding="Warp Farm")
    new = join(secretary, site, other)
    assert (new.tenure, new.church_land) == (Tenure.UNKNOWN, "unknown")
    assert new.hazards == "SF04: bull\nSF05: well"
    assert new.holding == "Saltmere Farm / Warp Farm"


def test_the_worst_and_oldest_of_both_counts(secretary: User, site: Site) -> None:
    other = neighbour(secretary)
    other.protected_checks.update(result="touches", place="Howe", checked_on=localdate() - timedelta(5))
    other.field_states.update(effect="shut", on=localdate())
    new = join(secretary, site, other)
    check = new.protected_checks.get()
    assert (check.result, check.checked_on) == ("touches", localdate() - timedelta(30))
    assert {s.on for s in new.field_states.all()} == {localdate() - timedelta(3)}
    assert {s.effect for s in new.field_states.all()} == {"open", "shut"}


def test_a_field_nobody_reported_makes_the_merged_one_ask(secretary: User, site: Site) -> None:
    other = neighbour(secretary)
    other.field_states.all().delete()
    assert not join(secretary, site, other).field_states.exists()


def test_sites_under_different_law_are_not_merged(secretary: User, site: Site) -> None:
    with pytest.raises(CannotCarryError, match="Different law applies"):
        join(secretary, site, neighbour(secretary, jurisdiction="scotland"))
    assert Site.objects.current().count() == 2


def test_a_licence_goes_on_only_if_it_covers_all(secretary: User, site: Site) -> None:
    other = neighbour(secretary)
    today = localdate()
    for number, covered in (("1", [site]), ("2", [site, other])):
        row = Licence.objects.create(
            code="section-42", number=number, authority="x", starts=today, ends=today
        )
        row.sites.set(covered)
    assert [x.number for x in join(secretary, site, other).licences.all()] == ["2"]


def test_an_ended_permission_stays_with_the_past(secretary: User, site: Site) -> None:
    make.permission(site, state="ended")
    assert not Permission.objects.filter(sites__in=cut(site, secretary)).exists()
