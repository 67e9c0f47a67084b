"""Make a key, end it, and write down on which day it was last used."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from doors.collections import COLLECTIONS
from doors.models import AccessToken, Purpose
from doors.tokens import LONGEST_DAYS, MOST_LIVE, digest_of, need_membership, new_key
from people import audit
from people.models import User


class TooManyKeysError(Exception):
    """No key is made; the sentence says why and what to do."""


@transaction.atomic
def make_token(
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    label: str,
    purpose: Purpose,
    days: int,
    collections: Iterable[str] = (),
) -> tuple[AccessToken, str | None]:
    """A new key of `by` for `days` days, at most a year, and the key itself, which nobody can read again.

    Sent twice it is made once, and the second time there is no key to show. `collections` (for Purpose.DATA) are
    identifiers of COLLECTIONS. Raises PermissionDenied without a membership, TooManyKeysError.
    """
    person = User.objects.select_for_update().get(pk=by.pk)  # the same form sent twice at once waits here
    need_membership(person)
    found = AccessToken.objects.filter(client_id=client_id).first()
    if found is not None and found.user_id != by.pk:
        raise PermissionDenied(_("This form was somebody else's."))
    if found is not None:
        return found, None
    _check_room(person, at)
    key = new_key()
    token = AccessToken.objects.create(
        client_id=client_id,
        user=person,
        label=label,
        purpose=purpose,
        scope=_scope(purpose, collections),
        digest=digest_of(key),
        epoch=person.sessions_epoch,
        made_at=at,
        expires_at=at + timedelta(days=min(days, LONGEST_DAYS)),
    )
    until = token.expires_at.date().isoformat()
    audit.record(
        "key.make", token, by=by, at=at, label=person.name, opens=token.scope or purpose, until=until
    )
    return token, key


def _check_room(person: User, at: datetime) -> None:
    """Raise TooManyKeysError for somebody with as many open keys as anybody may have."""
    if AccessToken.objects.live(at).filter(user=person).count() >= MOST_LIVE:
        raise TooManyKeysError(
            _("You have %(most)s keys that are open. End one that you do not need, then make a new one.")
            % {"most": MOST_LIVE}
        )


def _scope(purpose: Purpose, collections: Iterable[str]) -> str:
    wanted = set(collections) if purpose is Purpose.DATA else set()
    return " ".join(name for name in COLLECTIONS if name in wanted)


@transaction.atomic
def revoke_token(token_id: int, *, by: User, at: datetime) -> AccessToken:
    """End one of one's own keys. Twice is once."""
    token = AccessToken.objects.select_for_update(of=("self",)).get(pk=token_id)
    if token.user_id != by.pk:
        raise PermissionDenied(_("Only its owner ends a key."))
    if token.revoked_at is None:
        token.revoked_at = at
        token.save(update_fields=["revoked_at"])
        audit.record("key.end", token, by=by, at=at, label=by.name)
    return token


@transaction.atomic
def note_use(token_id: int, *, via: str, on: date) -> bool:
    """Write the day down, once a day: reading must not cost a write each time. Was it written now?"""
    rows = AccessToken.objects.filter(Q(last_used_on=None) | Q(last_used_on__lt=on), pk=token_id)
    return bool(rows.update(last_used_on=on))
