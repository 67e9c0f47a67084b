"""“No duty” needs two: one of the committee proposes it with reasons, another agrees or does not.

Neither may be the finder or the leader of that hunt (`finds.case_people.concerned`). Both sign under the same facts:
when what is known changes after the first signature, or its signer leaves the committee, that signature lapses and the
history says so. Whoever did not agree stands against it until they think otherwise or something new is known. To report
takes one alone.
"""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from finds.actions.case_steps import CaseError, event, hold_case, lapse, open_proposal, step
from finds.case_digest import digest_of
from finds.case_people import concerned, holds_review
from finds.models import Case, CaseVote, Find
from finds.states import CASE_MOVES, CaseState
from people import audit
from people.languages import speaking
from people.models import User
from people.rights import Right, require
from tongue import noop
from web.states import check_move

Says = CaseVote.Says
CHANGED = noop("What is known of the finds, or the law they are judged by, changed after it was signed.")
LEFT = noop("Whoever signed it is not in the committee any more.")


def _kept(words: str) -> str:
    """Words of the record, in the club's language."""
    with speaking(""):
        return _(words)


@transaction.atomic
def propose_no_duty(case_id: int, *, by: User, at: datetime, words: str, client_id: UUID) -> CaseVote:
    """Sign first that nothing is owed, with reasons. The case stays under review until a second person agrees.

    Raises IllegalMoveError, or CaseError where it is the signer's own find, somebody proposed it already, or somebody
    did not agree while just this was known.
    """
    require(by, Right.REVIEW_CASES)
    case = hold_case(case_id)
    there = CaseVote.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    check_move(CASE_MOVES, CaseState(case.state), CaseState.NO_DUTY)
    _check_may_sign(case, by)
    digest = digest_of(case)
    waiting = open_proposal(case)
    if waiting is not None and not _lapsed(case, waiting, digest, at=at):
        who = (
            _("You have") if waiting.by_id == by.pk else _("%(waiting_by)s has") % {"waiting_by": waiting.by}
        )
        raise CaseError(
            _("%(who)s proposed it already; a second person has to agree to that or not.") % {"who": who}
        )
    _check_nobody_is_against(case, by, digest)
    row = _sign(case, Says.PROPOSES, digest, by=by, at=at, words=words, client_id=client_id)
    event(case, "no duty proposed", by=by, at=at, words=words)
    return row


@transaction.atomic
def answer_no_duty(
    case_id: int, *, by: User, at: datetime, proposal: int, agrees: bool, words: str, client_id: UUID
) -> CaseVote:
    """Sign second: with `agrees` the case becomes “no duty”, without it stays under review with the reasons.

    The row that comes back says LAPSED, and nothing is signed, where the first signature does not stand any more.
    Raises CaseError where the proposal was answered already, is one's own, or it is the signer's own find.
    """
    require(by, Right.REVIEW_CASES)
    case = hold_case(case_id)
    there = CaseVote.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    waiting = _awaited(case, proposal)
    if waiting.by_id == by.pk:
        raise CaseError(_("You signed first; somebody else of the committee has to sign second."))
    _check_may_sign(case, by)
    digest = digest_of(case)
    lapsed = _lapsed(case, waiting, digest, at=at)
    if lapsed is not None:
        return lapsed
    says = Says.AGREES if agrees else Says.DISAGREES
    row = _sign(case, says, digest, by=by, at=at, words=words, client_id=client_id, proposal=waiting)
    if agrees:
        both = f"{waiting.by}: {waiting.words}\n{by.name}: {words or 'agreed'}"
        step(case, CaseState.NO_DUTY, by=by, at=at, verb="no duty agreed", words=both)
    else:
        event(case, "no duty not agreed", by=by, at=at, words=words)
    return row


@transaction.atomic
def take_back_no_duty(
    case_id: int, *, by: User, at: datetime, proposal: int, words: str, client_id: UUID
) -> CaseVote:
    """Take one's own first signature back. Raises CaseError where it is another's or was answered."""
    require(by, Right.REVIEW_CASES)
    case = hold_case(case_id)
    there = CaseVote.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    waiting = _awaited(case, proposal)
    if waiting.by_id != by.pk:
        raise CaseError(
            _("%(waiting_by)s signed it; you can say that you do not agree.") % {"waiting_by": waiting.by}
        )
    row = _sign(
        case, Says.TAKES_BACK, waiting.facts_digest, by=by, at=at, words=words, client_id=client_id, proposal=waiting
    )  # fmt: skip
    event(case, "no duty taken back", by=by, at=at, words=words)
    return row


def lapse_where_changed(finds: Iterable[Find], *, at: datetime) -> None:
    """After finds were screened: first signatures under what was known before count no more. Inside a transaction."""
    rows = CaseVote.objects.filter(case__finds__in=list(finds), says=Says.PROPOSES, answers=None)
    for waiting in rows.select_related("case").order_by("pk").distinct():
        if waiting.facts_digest != digest_of(waiting.case):
            lapse(waiting.case, at=at, words=_kept(CHANGED))


def _awaited(case: Case, proposal: int) -> CaseVote:
    waiting = open_proposal(case)
    if waiting is not None and waiting.pk == proposal:
        return waiting
    last = case.votes.select_related("by").last()
    if last is None:
        raise CaseError(_("Nobody has proposed “no duty” here."))
    who = _(" by %(last_by)s") % {"last_by": last.by} if last.by else ""
    when = date_format(localtime(last.at), "j M Y H:i")
    raise CaseError(
        _("That proposal waits for nobody any more: %(says)s%(who)s, %(when)s. Look at the case again.")
        % {"says": last.get_says_display().lower(), "who": who, "when": when}
    )


def _lapsed(case: Case, waiting: CaseVote, digest: str, *, at: datetime) -> CaseVote | None:
    if not holds_review(waiting.by_id):
        return lapse(case, at=at, words=_kept(LEFT))
    return lapse(case, at=at, words=_kept(CHANGED)) if waiting.facts_digest != digest else None


def _check_may_sign(case: Case, by: User) -> None:
    if not holds_review(by.pk):  # the role may have ended while this waited for the case
        raise PermissionDenied(
            _("You may not %(review_cases_value)s.") % {"review_cases_value": _(Right.REVIEW_CASES.value)}
        )
    why = concerned(case).get(by.pk)
    if why:
        raise CaseError(
            _(
                "You %(why)s, so you cannot be one of the two who say that nothing is owed. Leave it to "
                "two others of the committee, or report it."
            )
            % {"why": why}
        )


def _check_nobody_is_against(case: Case, by: User, digest: str) -> None:
    """Nobody is outvoted by asking around: a “no” under these facts stands while its signer is in the committee."""
    latest = {row.by_id: row for row in case.votes.filter(facts_digest=digest).select_related("by")}
    for row in latest.values():
        if row.says == Says.DISAGREES and row.by_id != by.pk and holds_review(row.by_id):
            raise CaseError(
                _(
                    "%(row_by)s did not agree while just this was known: “%(row_words)s” Find out more "
                    "and record it, let %(row_by)s propose it, or report it."
                )
                % {"row_by": row.by, "row_words": row.words}
            )


def _sign(
    case: Case, says: Says, digest: str, *, by: User, at: datetime, words: str, client_id: UUID,
    proposal: CaseVote | None = None,
) -> CaseVote:  # fmt: skip
    audit.record(f"case.no_duty_{says.name.lower()}", case, by=by, at=at)
    return CaseVote.objects.create(
        case=case, says=says, facts_digest=digest, by=by, at=at, words=words, client_id=client_id, proposal=proposal
    )  # fmt: skip
