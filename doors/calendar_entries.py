"""What stands in a person's calendar: hunts, and what falls due. A calendar travels to other people's servers, so there
is no place in it, no landholder, no object and nobody's name: codes and numbers, and the address of the page.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from django.db.models import Count, Max, Model, Prefetch, Q
from django.urls import reverse
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from doors.calendar import Entry, Status
from finds.models import Case, CustodyEntry
from hunts.models import Hunt, SignUp
from hunts.states import HuntState, SignUpState
from people.audit import subject_of
from people.models import AuditEntry, User
from people.rights import Right
from permissions.models import Consent, Site
from permissions.states import State

BACK = timedelta(days=90)
AHEAD = timedelta(days=400)
UNKNOWN = datetime(2000, 1, 1, tzinfo=UTC)
"""When something last changed of which no change is on record, such as what came with an import."""
HOLDS = (SignUpState.IN, SignUpState.WAITING)


@dataclass(frozen=True)
class Changes:
    """How often records changed and when they last did, out of the audit trail, which only grows."""

    rows: dict[str, tuple[int, datetime]]

    def of(self, *subjects: Model | None) -> tuple[int, datetime]:
        found = [self.rows[subject_of(each)] for each in subjects if each and subject_of(each) in self.rows]
        return sum(number for number, _ in found), max((last for _, last in found), default=UNKNOWN)


def changes_of(subjects: Iterable[Model | None]) -> Changes:
    """One question for all."""
    names = {subject_of(each) for each in subjects if each}
    rows = AuditEntry.objects.filter(subject__in=names).order_by().values("subject")
    found = rows.annotate(number=Count("pk"), last=Max("at")).values_list("subject", "number", "last")
    return Changes({subject: (number, last) for subject, number, last in found})


def entries_for(user: User, root: str, *, at: datetime) -> list[Entry]:
    """All of it, hunts first. `root` is the address of the site without a slash at its end."""
    today = localdate(at)
    return [
        *hunt_entries(user, root, today),
        *consent_entries(user, root, today),
        *case_entries(user, root, today),
        *return_entries(user, root, today),
    ]


def hunt_entries(user: User, root: str, today: date) -> list[Entry]:
    """Hunts that this person signed up for or leads, whatever became of them, and coming ones that they may see."""
    own = Q(sign_ups__user=user, sign_ups__state__in=HOLDS) | Q(leader=user)
    coming = Q(on__gte=today, state__in=[HuntState.PLANNED, HuntState.OPEN])
    rows = Hunt.objects.visible_to(user).filter(own | coming, on__gte=today - BACK, past_basis="").distinct()
    mine = SignUp.objects.visible_to(user).filter(user=user)
    hunts = list(
        rows.order_by("on", "pk").prefetch_related(
            Prefetch("sites", Site.objects.only("code").order_by("code")), Prefetch("sign_ups", mine, "mine")
        )
    )
    changes = changes_of([*hunts, *(row for hunt in hunts for row in _mine(hunt))])
    return [_hunt_entry(hunt, user, root, changes) for hunt in hunts]


def _mine(hunt: Any) -> list[SignUp]:
    rows: list[SignUp] = hunt.mine
    return rows


def _hunt_entry(hunt: Hunt, user: User, root: str, changes: Changes) -> Entry:
    mine = next(iter(_mine(hunt)), None)
    said, status, busy = _standing(hunt, mine, user)
    revision, changed = changes.of(hunt, mine)
    sites = ", ".join(site.code for site in hunt.sites.all())
    return Entry(
        seed=f"hunt {hunt.client_id}",
        starts=hunt.begins,
        ends=hunt.finishes,
        summary=_("Hunt %(code)s (%(sites)s)") % {"code": hunt.code, "sites": sites},
        description=said + " " + _("Meeting point and briefing are on the hunt’s page."),
        url=root + reverse("hunts:detail", args=[hunt.pk]),
        status=status,
        busy=busy,
        revision=revision,
        changed=changed,
    )


def _standing(hunt: Hunt, mine: SignUp | None, user: User) -> tuple[str, Status, bool]:
    """How this person stands to the hunt: in words, as a status, and whether it takes up their time."""
    if hunt.state == HuntState.CALLED_OFF:
        return _("Called off."), Status.CANCELLED, False
    if hunt.leader_id == user.pk:
        return _("You lead it."), Status.CONFIRMED, True
    if mine is not None and mine.state == SignUpState.IN:
        return _("You have a place."), Status.CONFIRMED, True
    if mine is not None and mine.state == SignUpState.WAITING:
        return _("You are on the waiting list."), Status.TENTATIVE, False
    if hunt.state == HuntState.PLANNED:
        return _("Planned, not open yet."), Status.TENTATIVE, False
    return _("You may sign up."), Status.TENTATIVE, False


def consent_entries(user: User, root: str, today: date) -> list[Entry]:
    """Consents that run out, for those who look after permissions."""
    if not user.holds(Right.MANAGE_PERMISSIONS):
        return []
    rows = Consent.objects.filter(
        withdrawn_on=None, permission__state=State.GRANTED, ends__range=(today - BACK, today + AHEAD)
    )
    consents = list(rows.select_related("permission").order_by("ends", "pk"))
    changes = changes_of(consent.permission for consent in consents)
    return [
        _day_entry(
            f"consent {consent.client_id}",
            consent.ends,
            _("A consent ends: %(reference)s") % {"reference": consent.permission.reference},
            _("After this day its ground may not be searched unless it is given again."),
            root + reverse("permissions:permission_detail", args=[consent.permission_id]),
            changes.of(consent.permission),
        )
        for consent in consents
    ]


def case_entries(user: User, root: str, today: date) -> list[Entry]:
    """The clocks of heritage cases that run, for whoever may see the case."""
    rows = Case.objects.visible_to(user).running().filter(due_on__gte=today - BACK)
    cases = list(rows)
    changes = changes_of(cases)
    return [
        _day_entry(
            f"case {case.number} {case.opened_at.isoformat()}",
            case.due_on,
            _("Report due: case %(number)s") % {"number": case.number},
            _("The last day for it, as far as the club's rules know; the case’s page says to whom and why."),
            root + reverse("finds:case_detail", args=[case.pk]),
            changes.of(case),
        )
        for case in cases
    ]


def return_entries(user: User, root: str, today: date) -> list[Entry]:
    """Objects that are due back, for those who keep custody."""
    if not user.holds(Right.MOVE_CUSTODY):
        return []
    rows = CustodyEntry.objects.visible_to(user).current()
    held = list(rows.filter(due_back__gte=today - BACK).select_related("find").order_by("due_back", "pk"))
    return [
        _day_entry(
            f"custody {entry.find.client_id} {entry.step}",
            entry.due_back,
            _("Due back: %(number)s") % {"number": entry.find.number},
            _("The find’s page says who has it."),
            root + reverse("finds:detail", args=[entry.find_id]),
            (0, entry.at),
        )
        for entry in held
    ]


def _day_entry(
    seed: str, day: date | None, summary: str, description: str, url: str, change: tuple[int, datetime]
) -> Entry:
    """A whole day that takes up nobody's time."""
    assert day is not None
    return Entry(
        seed=seed,
        starts=day,
        ends=None,
        summary=summary,
        description=description,
        url=url,
        status=Status.CONFIRMED,
        busy=False,
        revision=change[0],
        changed=change[1],
    )
