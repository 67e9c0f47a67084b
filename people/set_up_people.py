"""Whom a new club has invited so far, and what became of it."""

from datetime import datetime

from django.utils.translation import gettext as _

from people.models import Invitation, User


def invited_so_far(user: User, *, at: datetime) -> list[dict[str, str]]:
    """Name, address and state of each person but the reader, the latest first; at most the first fifty."""
    rows = Invitation.objects.select_related("user").exclude(user=user)[:50]
    return [{"name": row.user.name, "email": row.user.email, "state": _(row.state(at))} for row in rows]
