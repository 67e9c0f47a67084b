"""What the page of a person says about how they get in, and what the secretary may do about it."""

from dataclasses import dataclass
from datetime import datetime

from allauth.mfa.models import Authenticator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right


@dataclass(frozen=True, slots=True)
class Access:
    """`state` in words; `invite` is the label of the button that sends an invitation, or nothing."""

    state: str
    factors: str
    invite: str
    may_take_factors_off: bool


def access_of(person: User, *, by: User, at: datetime) -> Access | None:
    """Nothing for readers who do not manage people."""
    if not by.holds(Right.MANAGE_PEOPLE):
        return None
    kinds = set(Authenticator.objects.filter(user=person).values_list("type", flat=True))
    has_password = person.has_usable_password()
    row = None if has_password else person.invitations.undecided().first()
    state = (
        _("Has a password")
        if has_password
        else _("Invitation %(state)s") % {"state": _(row.state(at))}
        if row
        else _("Not invited")
    )
    return Access(
        state=state,
        factors=", ".join(str(words) for kind, words in FACTORS if kind in kinds) or _("none"),
        invite="" if has_password else _("Send the invitation again") if row else _("Invite"),
        may_take_factors_off=bool(kinds) and person.pk != by.pk,
    )


FACTORS = (
    ("webauthn", _lazy("passkey")),
    ("totp", _lazy("app with codes")),
    ("recovery_codes", _lazy("recovery codes")),
)
