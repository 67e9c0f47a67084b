"""Cases made for tests: a find that opens one, two of the committee, and the whole way to “no duty”."""

from datetime import datetime
from typing import Any
from uuid import uuid4

from django.utils.timezone import now

from finds.actions import answer_no_duty, move_case, propose_no_duty
from finds.actions.custody import first_holder
from finds.actions.screening import screen_find
from finds.models import Case, Find, FindMaterial
from finds.states import CaseState
from people.models import User
from people.rights import Role
from tests import make

RING: dict[str, Any] = {"object_type": "finger ring", "is_coin": "no", "year_from": 1580, "year_to": 1640}


def ring(hunt: Any, finder: User, **fields: Any) -> Find:
    """A silver ring of about 1600: Treasure Act 1996 s.1(1)(a)(i), so that a case opens."""
    find = make.find(hunt, finder, **(RING | fields))
    FindMaterial.objects.create(find=find, material="silver", share_percent=91)
    first_holder(find, by=finder, at=now())
    screen_find(find, by=finder, at=now())
    return find


def case(hunt: Any, finder: User, *, state: CaseState = CaseState.FLAGGED, **fields: Any) -> Case:
    """The case of a ring; with a further `state` of REVIEW it is looked at already."""
    made = ring(hunt, finder, **fields).cases.get()
    if state is CaseState.REVIEW:
        return move_case(made.pk, state, by=make.person(Role.COMMITTEE), at=now(), words="looking at it")
    return made


def no_duty(
    about: Case, by: User, words: str = "looked at by both", *, second: User | None = None, at: datetime | None = None
) -> Case:  # fmt: skip
    """`by` proposes “no duty” and another of the committee agrees. The case is under review."""
    moment = at or now()
    first = propose_no_duty(about.pk, by=by, at=moment, words=words, client_id=uuid4())
    other = second or make.person(Role.COMMITTEE)
    answer_no_duty(about.pk, by=other, at=moment, proposal=first.pk, agrees=True, words="", client_id=uuid4())
    return Case.objects.get(pk=about.pk)
