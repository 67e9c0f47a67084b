"""What the authority decided about a case, with a reward and its shares where there is one."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID, uuid4

from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.actions.case_steps import CaseError, event, hold_case, step
from finds.models import Case, CaseOutcome, RewardShare
from finds.models.case import Decision
from finds.settlement import Reward, SettlementError, Share, share_reward
from finds.states import CaseState
from people import audit
from people.languages import speaking
from people.models import Club, User
from people.rights import Right, require


@dataclass(frozen=True, slots=True)
class RewardPart:
    """One party's part as the authority said it: RewardShare.Party, a name if that says more, and per cent."""

    party: str
    percent: Decimal
    name: str = ""


@transaction.atomic
def decide_case(
    case_id: int,
    *,
    by: User,
    at: datetime,
    decision: str,
    words: str,
    on: date | None = None,
    reference: str = "",
    reward: Decimal | None = None,
    parts: Sequence[RewardPart] = (),
    client_id: UUID | None = None,
) -> Case:
    """Record the authority's decision of the day `on` (today if left out): its words, reference, reward and shares.

    For a case that is decided already it corrects what was recorded, as a further row. Raises IllegalMoveError, or
    CaseError for a day that cannot be, a reward without an acquisition, or shares that do not make 100 per cent.
    """
    require(by, Right.REVIEW_CASES)
    case = hold_case(case_id)
    key = client_id or uuid4()
    if CaseOutcome.objects.filter(client_id=key).exists():
        return case
    day = on or localdate(at)
    _check_day(case, day, at)
    again = case.state == CaseState.DECIDED
    case.decision, case.decided_on = decision, day
    case.save(update_fields=["decision", "decided_on"])
    kept = _keep(
        CaseOutcome(
            case=case, decision=decision, on=day, reference=reference, words=words, reward=reward, at=at, by=by,
            client_id=key,
        ),
        parts,
    )  # fmt: skip
    with speaking(""):
        said = f"{kept.get_decision_display()}, {date_format(day, 'j M Y')}. {words}"
    if again:
        event(case, "decision corrected", by=by, at=at, words=said)
        audit.record("case.decided", case, by=by, at=at)
        return case
    return step(case, CaseState.DECIDED, by=by, at=at, verb="decided", words=said)


def _check_day(case: Case, day: date, at: datetime) -> None:
    if day > localdate(at):
        raise CaseError(
            _("%(day)s has not come yet; give the day on which it was decided.")
            % {"day": date_format(day, "j M Y")}
        )
    if case.reported_on is not None and day < case.reported_on:
        raise CaseError(
            _("%(day)s is before the report of %(case_reported_on)s; give the day on which it was decided.")
            % {"day": date_format(day, "j M Y"), "case_reported_on": date_format(case.reported_on, "j M Y")}
        )


def _keep(outcome: CaseOutcome, parts: Sequence[RewardPart]) -> CaseOutcome:
    """The outcome with the shares of its reward, each worked out exactly."""
    shared = _shared(outcome, parts)
    outcome.currency = _currency() if shared else ""
    outcome.save()
    if shared is not None:
        amounts = dict(shared.parts)
        RewardShare.objects.bulk_create(
            RewardShare(outcome=outcome, party=part.party, name=part.name, percent=part.percent, amount=amounts[str(n)])
            for n, part in enumerate(parts)
        )  # fmt: skip
    return outcome


def _shared(outcome: CaseOutcome, parts: Sequence[RewardPart]) -> Reward | None:
    if outcome.reward is None:
        if parts:
            raise CaseError(_("Shares without a reward: give the amount, or leave the shares empty."))
        return None
    if outcome.decision != Decision.ACQUIRED:
        raise CaseError(
            _("A reward of %(outcome_reward)s belongs to a find that was acquired, not to “%(decision)s”.")
            % {"outcome_reward": outcome.reward, "decision": outcome.get_decision_display()}
        )
    shares = [Share(str(n), part.name or part.party, part.percent) for n, part in enumerate(parts)]
    try:
        return share_reward(outcome.case.number, outcome.reward, shares, currency=_currency())
    except SettlementError as error:
        raise CaseError(str(error)) from error


def _currency() -> str:
    return next(iter(Club.objects.values_list("currency", flat=True)), "GBP")
