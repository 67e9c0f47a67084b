"""Same-find groups: a person's decision, with reasons, that objects were left together; all are screened together.

What a group was, and who put what in or out, stays in its events. Screenings of before stay in their ledger.
"""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Q
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from finds.actions.cases import note_on_running
from finds.actions.screening import screen_find, screen_group
from finds.actions.suggest import note_apart
from finds.models import Find, FindGroup, GroupEvent
from people import audit
from people.models import Club, User
from people.rights import Right, require


class GroupError(Exception):
    """These finds cannot be put into one group, or taken out of it."""


def one_at_a_time() -> None:
    """Hold the club's row: two decisions about groups that share finds would otherwise wait for each other's finds."""
    list(Club.objects.only("pk").select_for_update().filter(pk=1))


@transaction.atomic
def make_group(numbers: Sequence[str], *, by: User, at: datetime, reasons: str, client_id: UUID) -> FindGroup:
    """Put the finds with these numbers into one same-find group and screen all of them together.

    A find that is in another group brings that whole group along. Raises GroupError naming numbers that
    are not there, or when fewer than two finds remain.
    """
    require(by, Right.REVIEW_CASES)
    one_at_a_time()
    there = FindGroup.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    finds = _held(numbers)
    if len(finds) < 2:
        raise GroupError(_("A same-find group needs at least two finds; give their numbers."))
    group = FindGroup.objects.create(client_id=client_id, reasons=reasons, made_at=at, made_by=by)
    audit.record("group.make", group, by=by, at=at, finds=sorted(numbers))
    _put_in(group, finds, by=by, at=at, words=reasons)
    return group


@transaction.atomic
def add_to_group(group_id: int, numbers: Sequence[str], *, by: User, at: datetime, words: str) -> FindGroup:
    """Put further finds, and whatever groups they are in, into the group and screen all of it again.

    Raises GroupError when a number is not there, all are in already, or the group is no group any more.
    """
    require(by, Right.REVIEW_CASES)
    one_at_a_time()
    group = FindGroup.objects.get(pk=group_id)
    if not group.finds.exists():
        raise GroupError(_("No find is in this group any more; make a new one."))
    finds = [find for find in _held(numbers) if find.group_id != group.pk]
    if not finds:
        raise GroupError(_("%(numbers)s: in this group already.") % {"numbers": ", ".join(sorted(numbers))})
    audit.record("group.add", group, by=by, at=at, finds=sorted(numbers))
    _put_in(group, finds, by=by, at=at, words=words)
    return group


def _held(numbers: Sequence[str]) -> list[Find]:
    """The live finds with these numbers, held, in the order of their keys."""
    rows = Find.objects.select_for_update(of=("self",)).filter(number__in=numbers, withdrawn_at=None)
    finds = list(rows.order_by("pk"))
    missing = sorted(set(numbers) - {find.number for find in finds})
    if missing:
        raise GroupError(
            _("There is no find %(missing)s; check the number on the bag.") % {"missing": ", ".join(missing)}
        )
    return finds


def _put_in(group: FindGroup, finds: Sequence[Find], *, by: User, at: datetime, words: str) -> None:
    """Move `finds` with all of their old groups into `group`, keep an event for each, and screen the whole."""
    named = {find.pk for find in finds}
    old = {find.group_id for find in finds if find.group_id}
    rows = Find.objects.select_for_update(of=("self",)).filter(Q(pk__in=named) | Q(group__in=old))
    moving = list(rows.order_by("pk"))
    gone = [
        GroupEvent(group_id=find.group_id, find=find, at=at, by=by, verb=GroupEvent.Verb.LEFT,
                   words=_("Went over to group %(group_pk)s.") % {"group_pk": group.pk})
        for find in moving if find.group_id
    ]  # fmt: skip
    came = [
        GroupEvent(group=group, find=find, at=at, by=by, verb=GroupEvent.Verb.JOINED,
                   words=words if find.pk in named else _("Came over with group %(find_group_id)s. "
"%(words)s") % {"find_group_id": find.group_id, "words": words})
        for find in moving
    ]  # fmt: skip
    GroupEvent.objects.bulk_create([*gone, *came])
    Find.objects.filter(pk__in=[find.pk for find in moving]).update(group=group)
    screen_group(moving[0], by=by, at=at)


@transaction.atomic
def take_out(group_id: int, find_id: int, *, by: User, at: datetime, words: str) -> Find:
    """Take a find out of its group with the reason; it and the rest are screened anew, each by itself.

    A case that runs keeps it, with a note, until the committee ends the case. A group of one is no group: the last
    one leaves too. Raises GroupError when somebody else has taken it out meanwhile.
    """
    require(by, Right.REVIEW_CASES)
    one_at_a_time()
    find = Find.objects.select_for_update(of=("self",)).get(pk=find_id)
    if find.group_id != group_id:
        raise GroupError(_gone_words(find, group_id))
    others = list(Find.objects.filter(group=group_id).exclude(pk=find.pk).values_list("pk", flat=True))
    _leave(find, by=by, at=at, verb=GroupEvent.Verb.LEFT, words=words)
    note_apart(find, others, by=by, at=at, words=words)
    note_on_running(
        find,
        by=by,
        at=at,
        words=_("%(find_number)s was taken out of the same find: %(words)s")
        % {"find_number": find.number, "words": words},
    )
    screen_find(find, by=by, at=at)
    return find


def _gone_words(find: Find, group_id: int) -> str:
    last = find.group_events.filter(group=group_id).select_related("by").last()
    if last is None:
        return _("%(find_number)s was never in this group.") % {"find_number": find.number}
    return _("%(find_number)s is not in this group any more: %(verb)s by %(by_name)s, %(last_at)s.") % {
        "find_number": find.number,
        "verb": last.get_verb_display().lower(),
        "by_name": last.by.name,
        "last_at": date_format(localtime(last.at), "j M Y H:i"),
    }


def leave_withdrawn(find: Find, *, by: User, at: datetime, why: str) -> None:
    """A record that is withdrawn counts in no group. Inside the transaction that withdraws it."""
    if find.group_id is not None:
        _leave(find, by=by, at=at, verb=GroupEvent.Verb.WITHDRAWN, words=why)


def _leave(find: Find, *, by: User, at: datetime, verb: GroupEvent.Verb, words: str) -> None:
    """Take `find` out, end a group that has one find left, and screen what remains."""
    group = FindGroup.objects.get(finds=find)
    _event(group, find, by=by, at=at, verb=verb, words=words)
    audit.record(f"group.{verb.value}", group, by=by, at=at, find=find.number)
    rest = list(group.finds.select_for_update(of=("self",)).exclude(pk=find.pk).order_by("pk"))
    leaving = [find, *rest] if len(rest) == 1 else [find]
    if len(rest) == 1:
        _event(group, rest[0], by=by, at=at, verb=GroupEvent.Verb.ALONE, words=words)
    Find.objects.filter(pk__in=[each.pk for each in leaving]).update(group=None)
    for each in leaving:
        each.group = None
    if rest:
        screen_group(rest[0], by=by, at=at)


def _event(
    group: FindGroup, find: Find, *, by: User, at: datetime, verb: GroupEvent.Verb, words: str
) -> None:
    GroupEvent.objects.create(group=group, find=find, at=at, by=by, verb=verb, words=words)
