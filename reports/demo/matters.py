"""Four heritage cases at different stages, hand-overs, issued reports and landholders' answers."""

from datetime import datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from django.utils.timezone import localdate, localtime

from finds import actions
from finds.actions.photos import PreparedPhoto
from finds.circumstances import answers_from
from finds.models import Case, Find
from finds.states import CaseState
from hunts.models import Hunt
from people.models import User
from permissions.actions import make_link, pause_permission
from reports.actions import issue_report, landholder_answers
from reports.demo.ground import point_in
from reports.demo.land import Land, client_id
from reports.demo.pictures import object_photo
from reports.drafts import Draft, draft_for_case, draft_for_hunt, landholders_of, photos_of
from reports.models import IssuedReport, Kind, LandholderAnswer
from reports.pdf import render_pdf

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
        _hand_over(
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
    _hand_over(
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
    _hand_over(find, committee, start + timedelta(days=82), "museum", "Ravensand Museum", "acquired", None)


def _hand_over(
    find: Find, by: User, at: datetime, to: str, name: str, purpose: str, back: int | None
) -> None:
    last = find.custody.order_by("-step")[0]
    due = localdate(at) + timedelta(back) if back else None
    actions.hand_over(
        find.pk,
        by=by,
        at=at,
        after_step=last.step,
        to_holder=to,
        to_name=name,
        purpose=purpose,
        due_back=due,
        condition="as found",
    )


def hand_backs(secretary: User, hunts: list[tuple[Hunt, Land]], rng: Random) -> None:
    """Return most finds of the older hunts to the landholder; a few are with the officer, one of them too long."""
    for hunt, land in hunts[:14]:
        for find in Find.objects.filter(hunt=hunt, locked=False, withdrawn_at=None):
            at = hunt.finishes + timedelta(days=rng.randrange(8, 20))
            if rng.random() < 0.75:
                _hand_over(find, secretary, at, "landholder", land.owner.name, "returned as agreed", None)
            elif rng.random() < 0.2:
                _hand_over(
                    find,
                    secretary,
                    at,
                    "officer",
                    "Ida Drift, finds officer",
                    "recording",
                    rng.randrange(60, 200),
                )


def freeze(kind: Kind, draft: Draft, *, by: User, at: datetime, **about: Any) -> IssuedReport:
    pdf = render_pdf(draft.report, photos_of(draft.report))
    return issue_report(kind, draft, pdf, by=by, at=at, **about)


def make_reports(secretary: User, hunts: list[tuple[Hunt, Land]], at: datetime, rng: Random) -> None:
    """Visit reports for all but the last three hunts; holes and returns for some; links and answers."""
    for number, (hunt, _land) in enumerate(hunts[:-3]):
        sent = min(hunt.finishes + timedelta(days=4), at)
        kinds = [Kind.VISIT, *([Kind.HOLES, Kind.RETURNS] if number % 4 == 0 else [])]
        for landholder in landholders_of(hunt):
            for kind in kinds:
                draft = draft_for_hunt(kind, hunt, landholder, on=localtime(sent).date())
                freeze(kind, draft, by=secretary, at=sent, hunt=hunt, landholder=landholder)
    _answers(secretary, hunts, at, rng)


def _answers(secretary: User, hunts: list[tuple[Hunt, Land]], at: datetime, rng: Random) -> None:
    owners = {land.owner.pk: land for _, land in hunts}
    for land in owners.values():
        link = make_link(
            land.owner,
            by=secretary,
            at=at - timedelta(90),
            expires_at=at + timedelta(200),
            client_id=client_id(rng),
        )
        returns = (
            IssuedReport.objects.filter(landholder=land.owner, kind=Kind.RETURNS)
            .order_by("issued_at")
            .first()
        )
        if returns is not None:
            landholder_answers(
                link, LandholderAnswer.What.CONFIRMED, via="link", at=returns.issued_at + timedelta(days=3),
                client_id=client_id(rng), signed_name=land.owner.name.split(" (")[0], report=returns,
            )  # fmt: skip
    first = next(iter(owners.values()))
    link = first.owner.links.get()
    landholder_answers(
        link, LandholderAnswer.What.CONCERN, via="link", at=at - timedelta(days=2), client_id=client_id(rng),
        words="The gate by the beck was not latched on Sunday; the heifers were in the lane.", signed_name="",
    )  # fmt: skip


def pause(land: Land, at: datetime) -> None:
    pause_permission(
        land.permission, by=None, via="link", at=at - timedelta(6), why="Shoot days until the end of January."
    )
