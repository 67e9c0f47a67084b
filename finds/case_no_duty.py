"""The two signatures under “no duty” as the page of a case shows them."""

from datetime import date
from typing import Any

from finds.actions.case_steps import open_proposal
from finds.case_digest import digest_of
from finds.case_people import concerned, holds_review, names, signers
from finds.models import Case, CaseVote
from finds.states import CaseState
from people.models import User
from people.rights import Right

NEEDED = 2


def no_duty_context(case: Case, user: User, today: date) -> dict[str, Any]:
    """Who signed, whether it still counts, and what this reader may do. Nothing for others than the committee."""
    if not user.holds(Right.REVIEW_CASES):
        return {"no_duty": None}
    votes = list(case.votes.select_related("by"))
    if case.state != CaseState.REVIEW:
        return {"no_duty": {"votes": votes, "open": False} if votes else None}
    waiting = open_proposal(case)
    stands = waiting is not None and _stands(case, waiting)
    own = waiting is not None and waiting.by_id == user.pk
    why = concerned(case).get(user.pk, "")
    people = signers(case, today)
    return {
        "no_duty": {
            "votes": votes,
            "open": True,
            "waiting": waiting,
            "stands": stands,
            "why_not": why,
            "may_propose": not why and not stands,
            "may_answer": not why and stands and not own,
            "may_take_back": own and stands,
            "signers": names(people),
            "too_few": len(people) < NEEDED,
        }
    }


def _stands(case: Case, waiting: CaseVote) -> bool:
    return holds_review(waiting.by_id) and waiting.facts_digest == digest_of(case)
