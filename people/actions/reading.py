"""Notice an account that looks at very many locked places, tell those who answer for them, and keep what it was."""

from collections.abc import Iterable
from datetime import date, datetime

from django.db import transaction
from django.db.models import Q
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from people import audit
from people.letter_kinds import LetterKind
from people.letters import compose, queue
from people.looking import LONGEST, Unusual, unusual
from people.models import AuditEntry, RoleHeld, UnusualReading, User
from people.rights import ROLE_RIGHTS, Right, require

SEEN = ("hole.see", "incident.see")
"""Lines of the trail that say: somebody saw the full place of a locked hole or incident."""


class ReadingError(Exception):
    """The answer cannot be kept; the sentence says why."""


@transaction.atomic
def watch_reading(
    *, by: User, at: datetime, looks: Iterable[tuple[datetime, str]] = ()
) -> UnusualReading | None:
    """Called with each look at a locked place: a row for the account and the day once its looks are unusual, else None.

    `looks` are those of the last day (when, which place) that this app does not know of; looks at holes and incidents
    stand in the trail. Everybody with the right to the trail is told by letter, once a day for each account; so is the
    account itself, which may have been stolen.
    """
    seen = AuditEntry.objects.filter(by=by, verb__in=SEEN, at__gt=at - LONGEST).order_by()
    found = unusual([*looks, *seen.values_list("at", "subject")], at=at)
    if found is None:
        return None
    row, made = UnusualReading.objects.get_or_create(
        reader=by, on=localdate(at), defaults={"noticed_at": at, **_facts(found)}
    )
    if made:
        audit.record("reading.unusual", by, by=by, at=at, places=found.places, within=found.within)
        _tell(row)
    else:
        UnusualReading.objects.filter(pk=row.pk, places__lt=found.places).update(**_facts(found))
    return row


def _facts(found: Unusual) -> dict[str, object]:
    return {"places": found.places, "since": found.since, "within": found.within}


def _tell(row: UnusualReading) -> None:
    queue(
        compose(
            person.email,
            LetterKind.CLUB,
            "people/mail/unusual_reading",
            {"person": person, "row": row, "is_own": person.pk == row.reader_id},
            dedupe_key=f"reading:{row.pk}:{person.pk}",
        )
        for person in _told(row.on, row.reader_id)
    )


def _told(day: date, reader: int) -> Iterable[User]:
    roles = [role.value for role, rights in ROLE_RIGHTS.items() if Right.SEE_AUDIT in rights]
    held = RoleHeld.objects.current(day).filter(role__in=roles).values("user")
    keepers = User.objects.members_on(day).filter(pk__in=held).order_by().values("pk")
    told: Iterable[User] = User.objects.filter(Q(pk__in=keepers) | Q(pk=reader), is_active=True)
    return told


@transaction.atomic
def answer_reading(reading_id: int, *, by: User, at: datetime, words: str) -> UnusualReading:
    """Keep what it was. The account itself does not answer for itself. The first answer stands; twice is once."""
    require(by, Right.SEE_AUDIT)
    row = UnusualReading.objects.select_for_update(of=("self",)).get(pk=reading_id)
    if row.reader_id == by.pk:
        raise ReadingError(
            _(
                "These were your own looks. Somebody else of the committee, or the secretary, writes down what it was."
            )
        )
    if row.answered_at is None:
        row.answered_at, row.answered_by, row.answer = at, by, words
        row.save()
        audit.record("reading.answer", row.reader, by=by, at=at, on=row.on.isoformat())
    return row
