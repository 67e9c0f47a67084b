"""The sections of Today about backups, for whoever looks after the club's settings."""

from datetime import date, datetime

from django.urls import reverse
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from people.kept import Kept, is_watched, last_kept
from people.models import User
from people.rights import Right
from reports.today_sections import Found, Item


def missing(user: User, at: datetime) -> Found:
    """No backup for some days, or none that was proved for more than a month."""
    kept = _kept_for(user)
    if kept is None:
        return Found()
    items = []
    if kept.is_backup_late(at):
        items.append(Item("late", _backup_title(kept, at), _("what is lost now is lost for good"), _page()))
    elif kept.is_proof_late(at):
        items.append(
            Item("soon", _proof_title(kept, at), _("a backup that was never brought back is a hope"), _page())
        )
    return Found(items, len(items))


def kept_well(user: User, at: datetime) -> Found:
    """When the last backup was made and proved, while nothing is missing."""
    kept = _kept_for(user)
    if kept is None or kept.is_backup_late(at) or kept.is_proof_late(at):
        return Found()
    words = _("last proved %(days)s") % {"days": _days(kept.proved, at)}
    return Found(
        [
            Item(
                "plain",
                _("Last backup %(days)s") % {"days": _days(localdate(kept.backup), at)},
                words,
                _page(),
            )
        ],
        1,
    )


def _kept_for(user: User) -> Kept | None:
    return last_kept() if is_watched() and user.holds(Right.MANAGE_CLUB) else None


def _page() -> str:
    return reverse("keeping:backups")


def _backup_title(kept: Kept, at: datetime) -> str:
    if kept.backup is None:
        return _("No backup was ever made")
    return _("The last backup was made %(days)s") % {"days": _days(localdate(kept.backup), at)}


def _proof_title(kept: Kept, at: datetime) -> str:
    if kept.proved is None:
        return _("No backup was ever proved")
    return _("A backup was last proved %(days)s") % {"days": _days(kept.proved, at)}


def _days(day: date | None, at: datetime) -> str:
    days = (localdate(at) - day).days if day else 0
    return {0: _("today"), 1: _("yesterday")}.get(days, _("%(days)s days ago") % {"days": days})
