"""What the club gave back and sent out: most finds, reports frozen as issued, landholders' pages and answers."""

from datetime import datetime, timedelta
from random import Random
from typing import Any

from django.utils.timezone import localdate, localtime

from finds import actions
from finds.models import Find
from hunts.models import Hunt
from people.models import User
from permissions.actions import make_link
from reports.actions import issue_report, landholder_answers
from reports.demo.land import Land, client_id
from reports.drafts import Draft, draft_for_hunt, landholders_of, photos_of
from reports.models import IssuedReport, Kind, LandholderAnswer
from reports.pdf import render_pdf


def hand_over(find: Find, by: User, at: datetime, to: str, name: str, purpose: str, back: int | None) -> None:
    last = find.custody.order_by("-step").values_list("step", flat=True)[0]
    due = localdate(at) + timedelta(back) if back else None
    actions.hand_over(
        find.pk,
        by=by,
        at=at,
        after_step=last,
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
                hand_over(find, secretary, at, "landholder", land.owner.name, "returned as agreed", None)
            elif rng.random() < 0.2:
                hand_over(
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
