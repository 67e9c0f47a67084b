"""What a club still has to set up, read from what is there: one query, whatever the club holds."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Exists, OuterRef, QuerySet
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _lazy

from hunts.models import Hunt
from people.kept import BACKUP, CLUB
from people.models import AuditEntry, Club, Contact, Insurance, Letter, RoleHeld, User
from people.rights import Right, Role
from permissions.models import Consent, Landholder, Permission, Site
from reports.models import NotNeeded


@dataclass(frozen=True, slots=True)
class Step:
    """One step: `there` finds what shows that it is done; `url_name` is where it is done."""

    key: str
    title: Promise
    why: Promise
    url_name: str
    there: Callable[[date], QuerySet[Any]]


@dataclass(frozen=True, slots=True)
class Line:
    """A step as one club stands to it: done, put aside with a reason, or open."""

    step: Step
    is_done: bool
    aside: str

    @property
    def is_open(self) -> bool:
        return not self.is_done and not self.aside

    @property
    def is_test(self) -> bool:
        """Done by a button rather than on a page of its own."""
        return self.step.url_name == "test_letter"


def _two_of_committee(today: date) -> QuerySet[Any]:
    """A place in the committee beside which there is another person's."""
    held = RoleHeld.objects.current(today).filter(role=Role.COMMITTEE, user__is_active=True)
    return held.filter(Exists(held.exclude(user=OuterRef("user"))))


def _mail_left(today: date) -> QuerySet[Any]:
    return Letter.objects.exclude(sent_at=None)


STEPS = (
    Step(
        "club",
        _lazy("Name, address and law of the club"),
        _lazy("They stand on agreements and reports; finds are held against that law."),
        "set_up_club",
        lambda today: Club.objects.exclude(name="").exclude(address=""),
    ),
    Step(
        "contacts",
        _lazy("Whom you call"),
        _lazy("Drills and emergency cards show police, heritage officer and whom the law names."),
        "set_up_contacts",
        lambda today: Contact.objects.all(),
    ),
    Step(
        "mail",
        _lazy("The club’s e-mails are sent"),
        _lazy("Invitations, alarms and reports go by e-mail. Send yourself a test letter."),
        "test_letter",
        _mail_left,
    ),
    Step(
        "committee",
        _lazy("Two people on the heritage committee"),
        _lazy(
            "The role is called Committee. Two of them must agree that a find need not be reported, and they alone see "
            "where one lay that may have to be."
        ),
        "set_up_people",
        _two_of_committee,
    ),
    Step(
        "insurance",
        _lazy("Insurance of the people who search"),
        _lazy("On a person’s page: insurer, number, last day. The gate looks at it before each hunt."),
        "people:person_list",
        lambda today: Insurance.objects.covering(today),
    ),
    Step(
        "landholder",
        _lazy("The first landholder"),
        _lazy("Owner, tenant or agent: who has a say. They need no account."),
        "permissions:landholder_add",
        lambda today: Landholder.objects.all(),
    ),
    Step(
        "site",
        _lazy("The first site with its boundary"),
        _lazy("One field, drawn on the map, read from a file or pasted."),
        "permissions:site_add",
        lambda today: Site.objects.filter(boundaries__isnull=False),
    ),
    Step(
        "permission",
        _lazy("The first permission with its consents"),
        _lazy("What was agreed, by whom and until when. Without it the gate stays shut."),
        "permissions:permission_add",
        lambda today: Permission.objects.filter(Exists(Consent.objects.filter(permission=OuterRef("pk")))),
    ),
    Step(
        "backup",
        _lazy("Backups"),
        _lazy("One sealed file a night, kept away from the server. Whoever runs it sets this up once."),
        "keeping:backups",
        lambda today: AuditEntry.objects.filter(subject=CLUB, verb=BACKUP),
    ),
    Step(
        "hunt",
        _lazy("The first hunt"),
        _lazy("Sites, day, leader and how many may come."),
        "hunts:plan",
        lambda today: Hunt.objects.filter(past_basis=""),
    ),
)
KEYS = {step.key: step for step in STEPS}


def checklist_for(user: User, *, on: date) -> list[Line]:
    """Every step and how the club stands to it; nothing for who does not look after the club's settings."""
    if not user.holds(Right.MANAGE_CLUB):
        return []
    marks = {step.key: Exists(step.there(on)) for step in STEPS}
    found = (
        User.objects.filter(pk=user.pk).values(**{f"has_{key}": mark for key, mark in marks.items()}).get()
    )
    aside = dict(NotNeeded.objects.values_list("step", "why"))
    return [Line(step, found[f"has_{step.key}"], aside.get(step.key, "")) for step in STEPS]


def is_over(lines: list[Line]) -> bool:
    return not any(line.is_open for line in lines)
