"""The risk assessment of a site on a hunt's day: start from the list, adapt, agree on the ground."""

from collections.abc import Collection
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from hunts.actions.locks import locked_hunt
from hunts.errors import RiskError
from hunts.hazards import BY_CODE, Hazard, score
from hunts.models import Hunt, RiskAssessment, RiskLine
from hunts.states import HuntState
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.models import Site

ADAPTED = (
    "hazard",
    "likelihood",
    "severity",
    "control",
    "owner",
    "residual_likelihood",
    "residual_severity",
)
"""What a later assessment of the same site takes over from the last."""


def _check_still_ahead(hunt: Hunt) -> None:
    if hunt.state in {HuntState.CLOSED, HuntState.CALLED_OFF}:
        raise RiskError(
            _("%(hunt_code)s is %(hunt_state)s; its risk assessment stays as it was.")
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state)}
        )


@transaction.atomic
def start_assessment(
    hunt_id: int,
    site: Site,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    codes: Collection[str],
    review_on: date,
) -> RiskAssessment:
    """Begin the assessment of `site` with the chosen hazards, as adapted for this site before, and its own lines.

    One for each hunt and site: beginning it again returns the one that is there. Raises RiskError for a site that
    is not of the hunt, a hazard that is not on the list, a review before the day.
    """
    require(by, Right.PLAN_HUNT)
    hunt = locked_hunt(hunt_id)
    there = RiskAssessment.objects.filter(hunt=hunt, site=site).first()
    if there is not None:
        return there
    _check_still_ahead(hunt)
    if not hunt.hunt_sites.filter(site=site).exists():
        raise RiskError(
            _("%(site)s is not a site of %(hunt_code)s; choose one that is.")
            % {"site": site, "hunt_code": hunt.code}
        )
    if unknown := sorted(set(codes) - BY_CODE.keys()):
        raise RiskError(
            _("“%(unknown)s” is not on the list; choose from the list, or add your own line.")
            % {"unknown": unknown[0]}
        )
    if review_on < hunt.on:
        raise RiskError(
            _("%(review_on)s is before the hunt on %(hunt_on)s; give that day or later.")
            % {"review_on": date_format(review_on, "j M Y"), "hunt_on": date_format(hunt.on, "j M Y")}
        )
    last = RiskAssessment.objects.filter(site=site).order_by("-hunt__on", "-pk").first()
    made = RiskAssessment.objects.create(
        client_id=client_id, hunt=hunt, site=site, review_on=review_on, made_at=at, made_by=by
    )
    _fill(made, last, codes)
    audit.record("risk.start", made, by=by, at=at, hunt=hunt.code, site=site.code, hazards=sorted(codes))
    return made


def _fill(made: RiskAssessment, last: RiskAssessment | None, codes: Collection[str]) -> None:
    before = list(last.lines.all()) if last else []
    adapted = {line.code: line for line in before if line.code}
    for code in (each for each in BY_CODE if each in codes):
        values = _values(adapted[code]) if code in adapted else _usual(BY_CODE[code])
        RiskLine.objects.create(client_id=uuid4(), assessment=made, code=code, **values)
    for line in before:
        if not line.code:
            RiskLine.objects.create(client_id=uuid4(), assessment=made, **_values(line))


def _values(line: RiskLine) -> dict[str, Any]:
    return {name: getattr(line, name) for name in ADAPTED}


def _usual(hazard: Hazard) -> dict[str, Any]:
    values = (_(hazard.words), *hazard.before, _(hazard.control), _(hazard.owner), *hazard.after)
    return dict(zip(ADAPTED, values, strict=True))


def _locked(assessment_id: int) -> RiskAssessment:
    row = RiskAssessment.objects.select_for_update(of=("self",)).select_related("hunt").get(pk=assessment_id)
    _check_still_ahead(row.hunt)
    return row


def _to_be_agreed_again(row: RiskAssessment) -> None:
    if row.walked_at is not None:
        row.walked_at = row.walked_by = None
        row.save(update_fields=["walked_at", "walked_by"])


def _check_scores(fields: dict[str, Any]) -> None:
    before = score(fields["likelihood"], fields["severity"])
    left = score(fields["residual_likelihood"], fields["residual_severity"])
    if left > before:
        raise RiskError(
            _(
                "What is left (%(left)s) is more than before anything is done (%(before)s); give smaller "
                "figures."
            )
            % {"left": left, "before": before}
        )


@transaction.atomic
def add_risk(assessment_id: int, *, by: User, at: datetime, client_id: UUID, **fields: Any) -> RiskLine:
    """Add a hazard of the leader's own; what was agreed must be agreed again. The same `client_id` is one row."""
    require(by, Right.PLAN_HUNT)
    row = _locked(assessment_id)
    there = RiskLine.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    _check_scores(fields)
    line = RiskLine.objects.create(client_id=client_id, assessment=row, **fields)
    _to_be_agreed_again(row)
    audit.record("risk.add", row, by=by, at=at, hazard=line.hazard)
    return line


@transaction.atomic
def change_risk(line_id: int, *, by: User, at: datetime, **fields: Any) -> RiskLine:
    """Adapt a hazard to the ground; what was agreed must be agreed again."""
    require(by, Right.PLAN_HUNT)
    line = RiskLine.objects.get(pk=line_id)
    row = _locked(line.assessment_id)
    _check_scores(fields)
    for name, value in fields.items():
        setattr(line, name, value)
    line.save()
    _to_be_agreed_again(row)
    audit.record("risk.change", row, by=by, at=at, hazard=line.hazard)
    return line


@transaction.atomic
def remove_risk(line_id: int, *, by: User, at: datetime) -> RiskAssessment:
    """Take a hazard off the assessment; the trail keeps that it stood there. Twice at once is once."""
    require(by, Right.PLAN_HUNT)
    row = _locked(RiskLine.objects.get(pk=line_id).assessment_id)
    line = row.lines.filter(pk=line_id).first()  # read again under the lock
    if line is not None:
        audit.record("risk.remove", row, by=by, at=at, hazard=line.hazard)
        line.delete()
        _to_be_agreed_again(row)
    return row


@transaction.atomic
def agree_assessment(assessment_id: int, *, by: User, at: datetime) -> RiskAssessment:
    """The leader has walked the ground and agrees. Twice is once. Raises RiskError for an empty assessment."""
    require(by, Right.RUN_HUNT)
    row = _locked(assessment_id)
    if not row.lines.exists():
        raise RiskError(_("There is no hazard on it; add at least one before you agree."))
    if row.walked_at is None:
        row.walked_at, row.walked_by = at, by
        row.save(update_fields=["walked_at", "walked_by"])
        audit.record("risk.agree", row, by=by, at=at)
    return row
