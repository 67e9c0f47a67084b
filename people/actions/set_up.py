"""Begin a club in the browser: its first account, who is its secretary; and a letter that shows whether mail works."""

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from people import audit
from people.actions.invitations import A_YEAR
from people.letter_kinds import LetterKind
from people.letters import compose, queue
from people.models import Club, Letter, Membership, RoleHeld, User
from people.rights import Right, Role, require


class SetUpError(Exception):
    """The club has begun already; the sentence says what to do."""


@transaction.atomic
def begin_club(*, club: str, name: str, email: str, password: str, via: str, at: datetime, on: date) -> User:
    """Make the club's row and the first account, a member for a year and secretary. The key was judged by the view.

    Raises SetUpError when somebody has an account: two people with the same key take turns on the club's row.
    """
    Club.objects.get_or_create(pk=1, defaults={"name": club})
    row = Club.objects.select_for_update().get(pk=1)
    if User.objects.exists():
        raise SetUpError(_("Somebody has begun this club already. Sign in, or ask them for an invitation."))
    row.name = club
    row.save(update_fields=["name"])
    person = User.objects.create_user(email, password, name=name)
    Membership.objects.create(user=person, starts=on, ends=on + A_YEAR)
    RoleHeld.objects.create(user=person, role=Role.SECRETARY, starts=on)
    audit.record("club.begin", row, by=person, at=at, via=via)
    return person


@transaction.atomic
def send_test_letter(*, by: User, at: datetime) -> Letter:
    """Put a letter to oneself into the outbox; what became of it is on the row once the transaction is kept."""
    require(by, Right.MANAGE_CLUB)
    draft = compose(by.email, LetterKind.ACCOUNT, "people/mail/test_letter", {"person": by, "when": at})
    audit.record("mail.test", by, by=by, at=at)
    return queue([draft])[0]
