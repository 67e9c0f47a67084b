"""What happens to the keys of an account: signing in, passwords, second factors, sessions. Each is on the trail."""

from datetime import datetime

from allauth.mfa.models import Authenticator
from allauth.usersessions.models import UserSession
from django.conf import settings
from django.contrib.auth.tokens import default_token_generator
from django.contrib.sessions.backends.db import SessionStore
from django.db import transaction
from django.db.models import F
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode
from django.utils.translation import gettext as _

from people import audit
from people.account_words import Change
from people.invitations import key_of
from people.letter_kinds import LetterKind
from people.letters import compose, queue
from people.models import Invitation, User, account_at
from people.rights import Right, require


class FactorError(Exception):
    """The second factors stay; the sentence says why and what to do."""


@transaction.atomic
def note_sign_in(person: User, *, how: str, via: str, at: datetime) -> None:
    """Keep that somebody signed in, and by what (`how`: password, password and code, passkey …)."""
    audit.record("account.sign_in", person, by=person, at=at, via=via, how=how)


@transaction.atomic
def note_failed_sign_in(person: User, *, how: str, via: str, at: datetime) -> None:
    """Keep that a try to sign in as somebody failed. Tries with unknown addresses are nobody's and are not kept."""
    audit.record("account.sign_in_failed", person, by=None, at=at, via=via, how=how)


@transaction.atomic
def note_change(person: User, change: Change, *, by: User | None, via: str, at: datetime) -> None:
    """Keep a change of how somebody signs in, and tell them by letter: it may not have been them."""
    audit.record(f"account.{change}", person, by=by, at=at, via=via)
    facts = {"person": person, "what": change.words, "when": at, "secretary": by is not None and by != person}
    queue([compose(person.email, LetterKind.SECURITY, "people/mail/security", facts)])


@transaction.atomic
def choose_password(person_id: int, password: str, *, by: User | None, via: str, at: datetime) -> User:
    """Set a password: the person's other sign-ins end with the old one. The password was judged by the form."""
    person: User = User.objects.select_for_update().get(pk=person_id)
    person.set_password(password)
    person.save(update_fields=["password"])
    note_change(person, Change.PASSWORD, by=by, via=via, at=at)
    return person


@transaction.atomic
def send_way_in(email: str, *, site: str, via: str, at: datetime) -> None:
    """Answer who asks for a new password, by letter to the address alone; nothing for an address without an account.

    Who never had a password gets the invitation again while it is live, and is told to ask the secretary after that.
    The letter is not sent at once: how long the page takes would say whether there is an account.
    """
    person = account_at(email)
    if person is None or not person.is_active:
        return
    facts: dict[str, object] = {"person": person}
    if person.has_usable_password():
        uid, token = urlsafe_base64_encode(force_bytes(person.pk)), default_token_generator.make_token(person)
        facts["address"] = site + reverse("people:password_reset_confirm", args=[uid, token])
        facts["hours"] = settings.PASSWORD_RESET_TIMEOUT // 3600
        template = "people/mail/password_reset"
    elif (row := Invitation.objects.live(at).filter(user=person).first()) is not None:
        facts |= {"address": site + reverse("people:invited", args=[key_of(row)]), "until": row.expires_at}
        facts["by"] = row.made_by.name
        template = "people/mail/invitation"
    else:
        template = "people/mail/invitation_over"
    queue([compose(person.email, LetterKind.ACCOUNT, template, facts)], soon=False)
    audit.record("account.password_asked", person, by=None, at=at, via=via)


@transaction.atomic
def end_sessions(person_id: int, *, why: str, by: User | None, via: str, at: datetime) -> User:
    """End every sign-in of an account at once, wherever it is; the account as it is now."""
    User.objects.filter(pk=person_id).update(sessions_epoch=F("sessions_epoch") + 1)
    person: User = User.objects.get(pk=person_id)
    audit.record("account.sessions_ended", person, by=by, at=at, via=via, why=why)
    return person


@transaction.atomic
def end_session(session_id: int, *, by: User, at: datetime) -> bool:
    """End one of one's own sign-ins. False for one that is over already or somebody else's."""
    row = UserSession.objects.select_for_update(of=("self",)).filter(pk=session_id, user=by).first()
    if row is None:
        return False
    SessionStore().delete(row.session_key)
    row.delete()
    audit.record("account.session_ended", by, by=by, at=at, why="by its owner")
    return True


@transaction.atomic
def note_session_over(person: User, *, why: str, via: str, at: datetime) -> None:
    """Keep that a sign-in ended by itself: its time was over, or its membership."""
    audit.record("account.session_over", person, by=None, at=at, via=via, why=why)


@transaction.atomic
def note_seen(session_key: str, *, via: str, at: datetime) -> None:
    """Write down when a sign-in was last used."""
    UserSession.objects.filter(session_key=session_key).update(last_seen_at=at)


@transaction.atomic
def note_new_key(old: str, new: str, *, via: str, at: datetime) -> None:
    """A sign-in goes on under a new key: the list of sign-ins follows."""
    UserSession.objects.filter(session_key=old).update(session_key=new, last_seen_at=at)


@transaction.atomic
def take_factors_off(person_id: int, *, by: User, at: datetime) -> None:
    """Take all second factors off an account whose owner has lost them; they set up new ones at the next sign-in.

    Raises FactorError for one's own: whoever holds a session of the secretary must not get past the second factor.
    """
    require(by, Right.MANAGE_PEOPLE)
    if by.pk == person_id:
        raise FactorError(
            _("Somebody else must do this for you: another secretary, or whoever runs the server.")
        )
    remove_factors(person_id, by=by, via="", at=at)


@transaction.atomic
def remove_factors(person_id: int, *, by: User | None, via: str, at: datetime) -> bool:
    """The same without asking for a right, for the command line. False where there were none."""
    person: User = User.objects.select_for_update().get(pk=person_id)
    rows = Authenticator.objects.filter(user=person)
    if not rows.exists():
        return False
    rows.delete()
    end_sessions(person_id, why="second factors taken off", by=by, via=via, at=at)
    note_change(person, Change.FACTORS_OFF, by=by, via=via, at=at)
    return True
