"""May this person come on that day? Membership and insurance, judged on the day of the hunt."""

from collections.abc import Iterable
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from people.models import User
from people.models.membership import PeriodModel


def with_cards(user: User) -> User:
    """The same person as the database has them now, with memberships and insurances."""
    read: User = User.objects.only("name").prefetch_related("memberships", "insurances").get(pk=user.pk)
    return read


def barred(user: User, on: date) -> list[str]:
    """Sentences that say why `user` may not come on `on`, each naming the date it turns on; empty if they may."""
    kinds: tuple[tuple[str, Iterable[PeriodModel], str], ...] = (
        ("membership", user.memberships.all(), _("Renew it with the secretary")),
        ("insurance", user.insurances.all(), _("Show the secretary a card for that day")),
    )
    return [
        _("%(lapse)s %(remedy)s, then try again.")
        % {"lapse": _lapse(user.name, label, periods, on), "remedy": remedy}
        for label, rows, remedy in kinds
        if not _covered(periods := list(rows), on)
    ]


def _covered(periods: Iterable[PeriodModel], on: date) -> bool:
    return any(period.starts <= on <= period.ends for period in periods)


def _lapse(name: str, label: str, periods: list[PeriodModel], on: date) -> str:
    before = [p.ends for p in periods if p.ends < on]
    after = [p.starts for p in periods if p.starts > on]
    if before:
        return _("%(name)s's %(label)s ends on %(max)s, before this hunt on %(on)s.") % {
            "name": name,
            "label": label,
            "max": date_format(max(before), "j M Y"),
            "on": date_format(on, "j M Y"),
        }
    if after:
        return _("%(name)s's %(label)s starts on %(min)s, after this hunt on %(on)s.") % {
            "name": name,
            "label": label,
            "min": date_format(min(after), "j M Y"),
            "on": date_format(on, "j M Y"),
        }
    return _("No %(label)s is on record for %(name)s, so there is none on %(on)s.") % {
        "label": label,
        "name": name,
        "on": date_format(on, "j M Y"),
    }
