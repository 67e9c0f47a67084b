"""May this person come on that day? Membership and insurance, judged on the day of the hunt."""

from collections.abc import Iterable
from datetime import date

from people.models import User
from people.models.membership import PeriodModel


def barred(user: User, on: date) -> list[str]:
    """Sentences that say why `user` may not come on `on`, each naming the date it turns on; empty if they may."""
    kinds: tuple[tuple[str, Iterable[PeriodModel], str], ...] = (
        ("membership", user.memberships.all(), "Renew it with the secretary"),
        ("insurance", user.insurances.all(), "Show the secretary a card for that day"),
    )
    return [
        f"{_lapse(user.name, label, periods, on)} {remedy}, then try again."
        for label, rows, remedy in kinds
        if not _covered(periods := list(rows), on)
    ]


def _covered(periods: Iterable[PeriodModel], on: date) -> bool:
    return any(period.starts <= on <= period.ends for period in periods)


def _lapse(name: str, label: str, periods: list[PeriodModel], on: date) -> str:
    before = [p.ends for p in periods if p.ends < on]
    after = [p.starts for p in periods if p.starts > on]
    if before:
        return f"{name}'s {label} ends on {max(before):%-d %b %Y}, before this hunt on {on:%-d %b %Y}."
    if after:
        return f"{name}'s {label} starts on {min(after):%-d %b %Y}, after this hunt on {on:%-d %b %Y}."
    return f"No {label} is on record for {name}, so there is none on {on:%-d %b %Y}."
