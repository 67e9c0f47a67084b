"""The day's list for one person: what Today shows as due soon, cut down to what is worth an e-mail."""

from dataclasses import replace
from datetime import date, datetime, timedelta

from django.utils.timezone import localdate

from people.languages import speaking
from people.models import User
from reports.today import Group, today_for
from reports.today_sections import Item


def digest_of(user: User, *, at: datetime, days: int) -> list[Group]:
    """The sections with something that is late or due within `days`; empty when nothing needs this person.

    Who has turned the list off gets duties only: people still out and clocks that the law sets. The next hunts
    come along, but are no reason to write.
    """
    last = localdate(at) + timedelta(days)
    with speaking(user.language):
        found = today_for(user, at=at)
    groups = [group for group in found if user.wants_digest or group.duty]
    cut = [_within(group, last) for group in groups]
    kept = [group for group in cut if group.items]
    return kept if any(_is_due(item) for group in kept for item in group.items) else []


def _within(group: Group, last: date) -> Group:
    items = [item for item in group.items if item.due is None or item.due <= last]
    return replace(group, items=items, more=group.more if len(items) == len(group.items) else 0)


def _is_due(item: Item) -> bool:
    return item.status != "plain"


def count_of(groups: list[Group]) -> int:
    """How many things need doing."""
    return sum(_is_due(item) for group in groups for item in group.items)
