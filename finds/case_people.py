"""Who may do what about a case: who signs “no duty”, whose find it is, to whom a task can be given."""

from collections.abc import Iterable
from datetime import date

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from finds.models import Case
from people.models import RoleHeld, User
from people.rights import Right, Role


def committee_on(day: date) -> QuerySet[User]:
    """Everybody in the committee on that day."""
    held = RoleHeld.objects.current(day).filter(role=Role.COMMITTEE).values("user")
    people: QuerySet[User] = User.objects.members_on(day).filter(pk__in=held, is_active=True)
    return people.order_by("name", "pk")


def concerned(case: Case) -> dict[int, str]:
    """Those whose own find it is, by primary key, and why: its finder and the leader of that hunt.

    They never count among the two who sign “no duty”: nobody judges what they found themselves, or what was found
    in their charge. They can report, write, and see the case.
    """
    why: dict[int, str] = {}
    for finder, leader in case.finds.values_list("finder", "hunt__leader").order_by("pk"):
        why[leader] = _("led the hunt")
        why[finder] = _("found it")
    return why


def signers(case: Case, day: date) -> list[User]:
    """Who may sign “no duty” on this case that day."""
    return list(committee_on(day).exclude(pk__in=concerned(case)))


def finders_of(case: Case) -> QuerySet[User]:
    people: QuerySet[User] = User.objects.filter(pk__in=case.finds.values("finder"))
    return people.order_by("name", "pk")


def may_have_task(case: Case, day: date) -> QuerySet[User]:
    """The committee, the finders and the leaders: those who see the case."""
    close = Q(pk__in=case.finds.values("finder")) | Q(pk__in=case.finds.values("hunt__leader"))
    inside = Q(pk__in=committee_on(day).order_by().values("pk"))
    people: QuerySet[User] = User.objects.filter(inside | close, is_active=True)
    return people.order_by("name", "pk")


def is_finder(case: Case, user: User) -> bool:
    found: bool = case.finds.filter(finder=user).exists()
    return found


def holds_review(user_id: int | None) -> bool:
    """Is that person in the committee now? Read anew: an account in hand may be older than the loss of its role."""
    user = User.objects.filter(pk=user_id, is_active=True).first()
    return user is not None and user.holds(Right.REVIEW_CASES)


def names(people: Iterable[User]) -> str:
    found = [person.name for person in people]
    return (
        _("%(found)s and %(value)s") % {"found": ", ".join(found[:-1]), "value": found[-1]}
        if len(found) > 1
        else "".join(found)
    )
