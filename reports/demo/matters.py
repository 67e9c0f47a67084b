"""Four heritage cases at different stages, hand-overs, issued reports and landholders' answers."""

from datetime import datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from django.utils.timezone import localdate

from finds import actions
from finds.actions.photos import PreparedPhoto
from finds.circumstances import answers_from
from finds.models import Case, Find
from finds.states import CaseState
from hunts.models import Hunt
from people.models import User
from permissions.actions import pause_permission
from reports.demo.ground import point_in
from reports.demo.land import Land, client_id
from reports.demo.pictures import object_photo
from reports.demo.sent import freeze, hand_over
from reports.drafts import draft_for_case
from reports.models import Kind

NONE = answers_from(["none"]) | {"worked": "yes"}
RING: dict[str, Any] = {
    "shape": "ring",
    "material": "silver",
    "object_type": "finger ring",
    "is_coin": "no",
    "period": "Post-medieval",
    "year_from": 1580,
    "year_to": 1640,
    "materials": {"silver": Decimal("91.5")},
    "facts": NONE,
}
STRIP: dict[str, Any] = {
    "shape": "bar",
    "material": "gold",
    "object_type": "strip, gold",
    "is_coin": "no",
    "period": "Bronze Age",
    "year_from": -1150,
    "year_to": -800,
    "materials": {"gold": Decimal(88)},
    "facts": NONE,
}


def _special(hunt: Hunt, land: Land, rng: Random, *, shape: str, material: str, **fields: Any) -> Find:
    finder = hunt.sign_ups.standing().order_by("pk")[1].user
    site = hunt.sites.order_by("pk")[0]
    lon, lat = point_in(land.fields[site.pk].shape, rng)
    when = hunt.begins + timedelta(hours=3)
    return actions.record_find(
        hunt.pk,
        by=finder,
        at=when + timedelta(minutes=10),
        client_id=client_id(rng),
        photos=[PreparedPhoto(object_photo(shape, material, rng), "face", has_scale=True)],
        finder=finder,
        site=site,
        found_at=when,
        lon=lon,
        lat=lat,
        accuracy_m=4.0,
        position_method="averaged",
        placing="inside",
        certainty="probable",
        identified_by="Ida Drift, finds officer",
        identified_on=localdate(when) + timedelta(days=1),
        context="ploughsoil",
        completeness="complete",
        **fields,
    )


def make_cases(hunts: list[tuple[Hunt, Land]], committee: User, at: datetime, rng: Random) -> None:
    """One flagged with days to go, one late, one reported and acknowledged, one decided."""
    closed, reported, late, flagged = hunts[6], hunts[-6], hunts[-2], hunts[-1]
    _special(*flagged, rng, **RING)
    _late_pair(late, committee, rng)
    _axes(reported, committee, rng)
    gold = _special(*closed, rng, **STRIP)
    _associate(gold, rng)
    _to_the_end(gold, committee, closed[0].finishes)


def _late_pair(late: tuple[Hunt, Land], committee: User, rng: Random) -> None:
    """Two pennies found together, whose case stands in review."""
    pennies = [
        _special(
            *late, rng, shape="disc", material="silver", object_type="penny, hammered", is_coin="yes", count=1,
            year_from=1279, year_to=1344, period="Medieval", materials={"silver": Decimal("92.5")}, facts=NONE,
        )
        for _ in range(2)
    ]  # fmt: skip
    actions.make_group(
        [find.number for find in pennies], by=committee, at=late[0].finishes + timedelta(days=1),
        reasons="Two coins of like date within a stride of each other, in one spit of soil.", client_id=client_id(rng),
    )  # fmt: skip
    _move(
        pennies[0],
        CaseState.REVIEW,
        committee,
        late[0].finishes + timedelta(days=2),
        "Asking the finder about the spot.",
    )


def _associate(gold: Find, rng: Random) -> None:
    """The scrap of the same hunt that lay closest in time, as somebody noted it at the table."""
    other = Find.objects.filter(hunt=gold.hunt, hole__isnull=False).order_by("pk").first()
    if other is not None:
        actions.link_finds(
            gold.pk, other.number, by=gold.finder, at=gold.recorded_at, note="Same furrow, a stride apart.",
            client_id=client_id(rng),
        )  # fmt: skip


def _case_of(find: Find) -> Case:
    return find.cases.order_by("pk")[0]


def _move(find: Find, to: CaseState, by: User, at: datetime, words: str) -> None:
    actions.move_case(_case_of(find).pk, to, by=by, at=at, words=words)


def _report(find: Find, by: User, at: datetime, reference: str) -> None:
    case = _case_of(find)
    freeze(Kind.HERITAGE, draft_for_case(case, by=by, at=at), by=by, at=at, case=case)
    actions.case_reported(
        case.pk,
        by=by,
        at=at,
        on=localdate(at),
        reference=reference,
        words="With the heritage report.",
        how="e-mail",
        to="Ida Drift, finds officer",
        client_id=uuid5(NAMESPACE_URL, f"report {reference}"),
    )


def _axes(hunt: tuple[Hunt, Land], committee: User, rng: Random) -> None:
    fields: dict[str, Any] = {
        "shape": "axe",
        "material": "copper alloy",
        "object_type": "axehead",
        "is_coin": "no",
        "period": "Bronze Age",
    }
    fields |= {"year_from": -1000, "year_to": -800, "materials": {"copper alloy": None}}
    fields |= {"facts": NONE | {"gold": "no", "silver": "no"}}
    pair = [_special(*hunt, rng, **fields) for _ in range(2)]
    start = hunt[0].finishes
    actions.make_group(
        [find.number for find in pair], by=committee, at=start + timedelta(days=1),
        reasons="Blade to socket in the side of one furrow.", client_id=client_id(rng),
    )  # fmt: skip
    _report(pair[0], committee, start + timedelta(days=3), "INV 2026 014")
    for find in pair:
        hand_over(
            find,
            committee,
            start + timedelta(days=4),
            "officer",
            "Ida Drift, finds officer",
            "examination",
            60,
        )
    _move(pair[0], CaseState.ACKNOWLEDGED, committee, start + timedelta(days=6), "Receipt came by post.")


def _to_the_end(find: Find, committee: User, start: datetime) -> None:
    _report(find, committee, start + timedelta(days=2), "INV 2026 003")
    hand_over(
        find, committee, start + timedelta(days=5), "officer", "Ida Drift, finds officer", "examination", 90
    )
    _move(find, CaseState.ACKNOWLEDGED, committee, start + timedelta(days=7), "Acknowledged by e-mail.")
    actions.decide_case(
        _case_of(find).pk,
        by=committee,
        at=start + timedelta(days=80),
        decision="acquired",
        words="The museum keeps it; letter of that day.",
        client_id=uuid5(NAMESPACE_URL, "decision"),
    )
    hand_over(find, committee, start + timedelta(days=82), "museum", "Ravensand Museum", "acquired", None)


def pause(land: Land, at: datetime) -> None:
    pause_permission(
        land.permission, by=None, via="link", at=at - timedelta(6), why="Shoot days until the end of January."
    )
