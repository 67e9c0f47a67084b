"""Sites: added once, redrawn with history, measured against no-go ground and neighbours."""

from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import now

from geo.polygon import CheckedBoundary, check_boundary
from people.models import AuditEntry, User
from permissions import actions
from permissions.models import Boundary, NoGoArea, Site, SiteOverlap
from tests import make
from web.taken import TakenError


def box(
    west: float = 0.15, south: float = 53.6, width: float = 0.003, height: float = 0.0018
) -> CheckedBoundary:
    east, north = west + width, south + height
    ring = [[west, south], [east, south], [east, north], [west, north], [west, south]]
    return check_boundary({"type": "Polygon", "coordinates": [ring]})


def add(by: User, code: str = "SF01", boundary: CheckedBoundary | None = None, **fields: object) -> Site:
    values = {"client_id": uuid4(), "code": code, "name": "Saltmere Forty"} | fields
    return actions.add_site(by=by, at=now(), boundary=boundary or box(), **values)


def test_adding_a_site_keeps_its_first_boundary_and_a_line_in_the_trail(secretary: User) -> None:
    site = add(secretary)
    assert [line.geometry for line in site.boundaries.all()] == [site.boundary]
    assert site.bounds == (0.15, 53.6, 0.153, 53.6018)
    assert AuditEntry.objects.get(verb="site.add").changes["area_m2"] == round(site.area_m2)


def test_a_member_may_not_add_a_site(member: User) -> None:
    with pytest.raises(PermissionDenied):
        add(member)
    assert not Site.objects.exists()


def test_the_same_form_twice_is_one_site(secretary: User) -> None:
    key = uuid4()
    assert add(secretary, client_id=key) == add(secretary, client_id=key)
    assert Boundary.objects.count() == 1


def test_a_code_in_use_is_refused_by_name(secretary: User) -> None:
    add(secretary)
    with pytest.raises(TakenError, match="SF01"):
        add(secretary)
    assert Site.objects.count() == 1


def test_redrawing_keeps_the_line_that_a_hunt_had(secretary: User) -> None:
    site = make.site(by=secretary)
    hunt = make.hunt(site)
    before = site.boundary
    actions.redraw_site(site.pk, by=secretary, at=now(), boundary=box(width=0.002))
    site.refresh_from_db()
    assert hunt.hunt_sites.get().boundary.geometry == before != site.boundary
    assert site.boundaries.count() == 2


def test_the_same_line_again_changes_nothing(secretary: User) -> None:
    site = add(secretary)
    actions.redraw_site(site.pk, by=secretary, at=now(), boundary=box())
    assert site.boundaries.count() == 1
    assert not AuditEntry.objects.filter(verb="site.redraw").exists()


def test_a_neighbour_that_shares_ground_is_known_both_ways_until_the_line_moves(secretary: User) -> None:
    first, second = add(secretary), add(secretary, "SF02", box(west=0.152))
    shared = SiteOverlap.objects.get(site=second, other=first).shared_m2
    # A third of the field: 0.001 of 0.003 degrees of longitude.
    assert shared == pytest.approx(first.area_m2 / 3, rel=0.01)
    assert SiteOverlap.objects.filter(site=first, other=second).count() == 1
    actions.redraw_site(second.pk, by=secretary, at=now(), boundary=box(west=0.16))
    assert not SiteOverlap.objects.exists()


def test_a_sliver_between_neighbours_is_no_overlap(secretary: User) -> None:
    add(secretary)
    add(secretary, "SF02", box(west=0.15299))
    assert not SiteOverlap.objects.exists()


def test_no_go_ground_with_its_margin_is_taken_off_and_put_back(secretary: User) -> None:
    site = add(secretary)
    corner = box(width=0.0015).geometry
    area = actions.add_no_go(
        site.pk, by=secretary, at=now(), client_id=uuid4(), reason="beck", geometry=corner, buffer_m=0
    )
    site.refresh_from_db()
    assert site.no_go_share == pytest.approx(0.5, abs=0.001)
    actions.remove_no_go(area.pk, by=secretary, at=now())
    site.refresh_from_db()
    assert site.no_go_share == 0
    assert AuditEntry.objects.get(verb="no_go.remove").changes["geometry"] == corner


def test_no_go_sent_twice_is_one(secretary: User) -> None:
    site, key = add(secretary), uuid4()
    for _ in range(2):
        actions.add_no_go(
            site.pk, by=secretary, at=now(), client_id=key, reason="well", geometry=box().geometry, buffer_m=5
        )
    assert NoGoArea.objects.count() == 1


def test_changing_a_site_says_what_changed(secretary: User) -> None:
    site = add(secretary)
    actions.change_site(site.pk, by=secretary, at=now(), hazards="bull", name=site.name)
    assert AuditEntry.objects.get(verb="site.change").changes == {"changed": ["hazards"]}
