"""Landholders, sites, permissions and consents of the invented parish."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Any
from uuid import UUID

from shapely.geometry import mapping

from geo.polygon import check_boundary
from people.models import Club, User
from permissions import actions
from permissions.models import Landholder, Permission, Site
from permissions.models.site import Capacity, Said, Tenure
from permissions.states import State
from reports.demo.ground import Field, Holding, background, holdings


@dataclass(slots=True)
class Land:
    """One holding with its permission and the shape of each site."""

    holding: Holding
    owner: Landholder
    permission: Permission
    sites: list[Site]
    fields: dict[int, Field]  # by site primary key


TENANTED = {1, 3}  # holdings let to a tenant
LAPSING = {3: -9, 5: 21}  # days from today on which the owner's consent ends
PAUSED = 4
LATEST = [("stubble", "cut", "open"), ("grass", "grazed down", "open"), ("winter barley", "drilled", "shut")]


def client_id(rng: Random) -> UUID:
    return UUID(int=rng.getrandbits(128), version=4)


def make_land(by: User, at: datetime, rng: Random) -> list[Land]:
    """Make six holdings, about 25 sites, and a permission for each, recorded by `by` at `at`."""
    made = holdings(rng)
    Club.objects.filter(pk=1).update(background=background(made))
    return [_holding(index, holding, by, at, rng) for index, holding in enumerate(made)]


def _holding(index: int, holding: Holding, by: User, at: datetime, rng: Random) -> Land:
    start = at - timedelta(300)
    owner = _landholder(
        f"{holding.name} ({['Warp', 'Fleet', 'Tidewell', 'Ness', 'Holme', 'Shingle'][index]} family)",
        by,
        start,
        rng,
    )
    tenant = (
        _landholder(f"{['', 'Orla Sandeman', '', 'Perrin Drift', '', ''][index]}", by, start, rng)
        if index in TENANTED
        else None
    )
    sites, fields = [], {}
    for number, field in enumerate(holding.fields, 1):
        code = "".join(word[0] for word in holding.name.split()[:2]) + f"{index}{number}"
        site = _site(code, field, holding, tenant is not None, by, start, rng)
        actions.add_party(site.pk, by=by, at=start, landholder=owner, capacity=Capacity.OWNER)
        if tenant is not None:
            actions.add_party(site.pk, by=by, at=start, landholder=tenant, capacity=Capacity.OCCUPIER)
        _ground(site, number, by, at, rng)
        sites.append(site)
        fields[site.pk] = field
    permission = _permission(index, holding, sites, owner, tenant, by, at, rng)
    return Land(holding, owner, permission, sites, fields)


def _landholder(name: str, by: User, at: datetime, rng: Random) -> Landholder:
    return actions.add_landholder(
        by=by,
        at=at,
        client_id=client_id(rng),
        name=name,
        phone=f"01632 9602{rng.randrange(10, 99)}",
        email=f"{name.split()[0].lower()}@farm.example",
        held_since=at.date(),
    )


def _site(code: str, field: Field, holding: Holding, let: bool, by: User, at: datetime, rng: Random) -> Site:
    lon, lat = field.shape.exterior.coords[0]
    return actions.add_site(
        by=by,
        at=at,
        client_id=client_id(rng),
        boundary=check_boundary(dict(mapping(field.shape))),
        code=code,
        name=field.name,
        holding=holding.name,
        parish=holding.parish,
        tenure=Tenure.LET if let else Tenure.OWNER_OCCUPIED,
        land_use="arable",
        tidal=Said.NO,
        church_land=Said.NO,
        gate_lon=lon,
        gate_lat=lat,
        access="From Sand Lane through the yard. Shut every gate. Park on the hard standing only.",
        postcode="RS1 0AA",
        hazards="Soft ditch edges; overhead line along the track.",
    )


def _ground(site: Site, number: int, by: User, at: datetime, rng: Random) -> None:
    for back in range(290, 0, -45):
        day = at.date() - timedelta(back)
        ploughed = back == 65 and number % 3 == 0
        actions.add_field_state(
            site,
            by=by,
            client_id=client_id(rng),
            at=at - timedelta(back),
            on=day,
            crop="bare ground" if ploughed else "wheat stubble",
            stage="ploughed" if ploughed else "cut",
            effect="open",
            cultivated=ploughed,
            said_by="the farm",
        )
    last = LATEST[number % len(LATEST)]
    actions.add_field_state(
        site,
        by=by,
        client_id=client_id(rng),
        at=at - timedelta(4),
        on=at.date() - timedelta(4),
        crop=last[0],
        stage=last[1],
        effect=last[2],
        said_by="the farm",
    )
    actions.add_protected_check(
        site,
        by=by,
        client_id=client_id(rng),
        at=at - timedelta(295),
        checked_on=at.date() - timedelta(295),
        result="clear",
        source="national list of protected places, map view",
    )


def _permission(
    index: int,
    holding: Holding,
    sites: list[Site],
    owner: Landholder,
    tenant: Landholder | None,
    by: User,
    at: datetime,
    rng: Random,
) -> Permission:
    starts, today = at.date() - timedelta(298), at.date()
    permission = actions.add_permission(
        by=by,
        at=at - timedelta(299),
        sites=sites,
        client_id=client_id(rng),
        reference=f"RS-{index + 1:02}",
        title=holding.name,
        starts=starts,
        ends=today + timedelta(170),
        max_heads=[24, 20, None, 16, 30, 24][index],
        notice_hours=[24, None, 48, None, 24, None][index],
        notice_to="text to the farm",
        depth_limit_cm=30,
        share_percent=Decimal(50),
        share_threshold=Decimal([500, 300, 500, 1000, 500, 300][index]),
        share_wording=["over", "at_least"][index % 2],
        share_rule=["whole", "excess"][index % 2],
    )
    actions.move_permission(permission.pk, State.GRANTED, by=by, at=at - timedelta(298))
    owner_ends = today + timedelta(LAPSING[index]) if index in LAPSING else permission.ends
    for landholder, capacity, ends in (
        (owner, Capacity.OWNER, owner_ends),
        (tenant, Capacity.OCCUPIER, permission.ends),
    ):
        if landholder is not None:
            said = _consent(landholder, capacity, starts, ends)
            actions.add_consent(permission, by=by, at=at - timedelta(298), client_id=client_id(rng), **said)
    permission.refresh_from_db()
    return permission


def _consent(landholder: Landholder, capacity: str, starts: date, ends: date | None) -> dict[str, Any]:
    return {
        "landholder": landholder,
        "capacity": capacity,
        "given_on": starts,
        "starts": starts,
        "ends": ends,
        "evidence_kind": "signed",
    }
