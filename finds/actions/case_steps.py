"""The steps that every move of a case is made of: hold it, write a line, lapse what was proposed, move, match locks.

Whoever moves a case holds its finds first and then the case, in the order in which a change of a find does: the facts
cannot change between looking at them and signing.
"""

from datetime import datetime

from django.utils.translation import gettext as _

from finds.actions.locks import match_lock
from finds.models import Case, CaseEvent, CaseVote, Find
from finds.states import CASE_MOVES, CaseState
from people import audit
from people.languages import speaking
from people.models import User
from web.states import check_move


class CaseError(Exception):
    """This cannot be done about the case as it stands; the sentence says why and what to do."""


def hold_case(case_id: int) -> Case:
    """The case, held together with its finds until the transaction ends."""
    through = Case.finds.through.objects.filter(case=case_id).values("find")
    list(Find.objects.select_for_update().filter(pk__in=through).order_by("pk").only("pk"))
    return Case.objects.select_for_update().get(pk=case_id)


def event(
    case: Case, verb: str, *, by: User | None, at: datetime, words: str = "", to: str = ""
) -> CaseEvent:
    return CaseEvent.objects.create(case=case, verb=verb, by=by, at=at, words=words, to_state=to)


def step(case: Case, to: CaseState, *, by: User | None, at: datetime, verb: str, words: str) -> Case:
    """Move a case that is held. Raises IllegalMoveError."""
    check_move(CASE_MOVES, CaseState(case.state), to)
    if to is not CaseState.NO_DUTY:
        with speaking(""):
            why = _("The case became “%(to_value)s”.") % {"to_value": _(to.value)}
        lapse(case, at=at, words=why)
    case.state = to
    case.save(update_fields=["state"])
    event(case, verb, by=by, at=at, words=words, to=to)
    audit.record(f"case.{to.name.lower()}", case, by=by, at=at)
    for find in case.finds.select_related("hole"):
        # Findspots are locked while a case about them runs, and opened when all have ended and no incident holds them.
        match_lock(find, by=by, at=at)
    return case


def open_proposal(case: Case) -> CaseVote | None:
    """The first signature that waits for a second."""
    rows = case.votes.filter(says=CaseVote.Says.PROPOSES, answers=None)
    return rows.select_related("by").last()


def lapse(case: Case, *, at: datetime, words: str) -> CaseVote | None:
    """Say that the first signature, if one waits, counts no more, and why."""
    waiting = open_proposal(case)
    if waiting is None:
        return None
    # Somebody else may have said so in this moment; one line is enough.
    row, made = CaseVote.objects.get_or_create(
        proposal=waiting,
        defaults={"case": case, "at": at, "says": CaseVote.Says.LAPSED, "words": words, "facts_digest": ""},
    )
    if made:
        with speaking(""):
            name = waiting.by.name if waiting.by else _("Somebody")
            said = _("%(name)s's “no duty” counts no more.") % {"name": name}
        event(case, "signature lapsed", by=None, at=at, words=f"{said} {words}")
    return row
