"""What people decide about two finds that may belong together: the same find, not the same, ask the finder."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import uuid4

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Q
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from finds.actions.groups import add_to_group, make_group, one_at_a_time
from finds.actions.suggest import KEPT, columns_of, with_word
from finds.models import Find, FindGroup, PairEvent, PairSuggestion
from finds.pair_facts import pair_facts, with_pair_facts
from finds.states import PAIR_MOVES, PairState
from people import audit
from people.models import User
from people.rights import Right, require


class PairError(Exception):
    """Somebody was quicker, the facts are others by now, or the pair cannot be."""


@transaction.atomic
def decide_same(pair_id: int, *, by: User, at: datetime, words: str, seen: str = "") -> FindGroup:
    """Put both finds, with whatever groups they are in, into one same-find group with these reasons.

    `seen` is the digest of the facts that were read; empty, nothing is compared. Raises PairError when somebody has
    decided already or the facts changed meanwhile, GroupError when the two cannot be one group.
    """
    pair = _held(pair_id, by, to=PairState.SAME, seen=seen)
    _settle(pair, PairState.SAME, PairEvent.Verb.SAME, by=by, at=at, words=words)
    numbers = [pair.first.number, pair.second.number]
    group_id = pair.first.group_id or pair.second.group_id
    if group_id is not None:
        return add_to_group(group_id, numbers, by=by, at=at, words=words)
    return make_group(numbers, by=by, at=at, reasons=words, client_id=uuid4())


@transaction.atomic
def decide_apart(pair_id: int, *, by: User, at: datetime, words: str, seen: str = "") -> PairSuggestion:
    """Keep with its reasons that the two are not the same find; they come back only when their facts change.

    Raises PairError as `decide_same` does.
    """
    pair = _held(pair_id, by, to=PairState.APART, seen=seen)
    return _settle(pair, PairState.APART, PairEvent.Verb.APART, by=by, at=at, words=words)


@transaction.atomic
def ask_finder(pair_id: int, *, by: User, at: datetime, words: str, seen: str = "") -> PairSuggestion:
    """Put a question to whoever found the two; it stands on their Today until they answer.

    Raises PairError as `decide_same` does, or when they have been asked and not answered yet.
    """
    pair = _held(pair_id, by, to=PairState.ASKED, seen=seen)
    pair.asked_at = at
    return _settle(pair, PairState.ASKED, PairEvent.Verb.ASKED, by=by, at=at, words=words)


@transaction.atomic
def answer_pair(pair_id: int, *, by: User, at: datetime, words: str) -> PairSuggestion:
    """Keep the finder's answer; with the last one awaited, the pair is the committee's again.

    Raises PermissionDenied for anybody but the finders, PairError when it has been decided meanwhile.
    """
    pair = _locked(pair_id)
    finders = {pair.first.finder_id, pair.second.finder_id}
    if by.pk not in finders:
        raise PermissionDenied(_("Only whoever found one of the two answers."))
    if pair.state != PairState.ASKED:
        raise PairError(
            _("The committee is not waiting for an answer about these any more. Thank you all the same.")
        )
    answered = pair.events.filter(verb=PairEvent.Verb.ANSWERED, at__gte=pair.asked_at)
    waiting = finders - {by.pk} - set(answered.values_list("by", flat=True))
    to = PairState.ASKED if waiting else PairState.OPEN
    return _settle(pair, to, PairEvent.Verb.ANSWERED, by=by, at=at, words=words)


@transaction.atomic
def propose_pair(find_id: int, number: str, *, by: User, at: datetime, words: str) -> PairSuggestion:
    """Put to the committee, in the finder's words, that two of their own finds belong together. No group is made.

    Raises PairError when `number` is not a find of theirs, or the two are in one group already.
    """
    require(by, Right.LOG_HOLES)
    one_at_a_time()
    mine = list(
        with_pair_facts(Find.objects.filter(Q(pk=find_id) | Q(number=number), finder=by, withdrawn_at=None))
    )
    find = next((each for each in mine if each.pk == find_id), None)
    other = next((each for each in mine if each.number == number and each.pk != find_id), None)
    if find is None:
        raise PermissionDenied(_("Only its finder says what a find belongs with."))
    if other is None:
        raise PairError(
            _("You have no other find %(number)s; give the number on the bag of another find of yours.")
            % {"number": number}
        )
    if find.group_id is not None and find.group_id == other.group_id:
        raise PairError(
            _("%(find_number)s and %(other_number)s are in one group already.")
            % {"find_number": find.number, "other_number": other.number}
        )
    pair = _proposed(find, other, by=by, at=at)
    return _settle(pair, PairState(pair.state), PairEvent.Verb.PROPOSED, by=by, at=at, words=words)


def _proposed(find: Find, other: Find, *, by: User, at: datetime) -> PairSuggestion:
    """The row of the two, open, with the finder's word counted."""
    first, second = sorted((find, other), key=lambda each: each.pk)
    columns = columns_of(pair_facts(first), pair_facts(second))
    columns |= with_word(columns, by)
    kept: Mapping[str, Any] = {name: columns[name] for name in KEPT if name in columns}
    pair, made = PairSuggestion.objects.select_for_update().get_or_create(
        first=first, second=second, defaults={**kept, "made_at": at, "changed_at": at, "proposed_by": by}
    )
    if not made:
        for name, value in {**kept, "proposed_by": by}.items():
            setattr(pair, name, value)
        pair.state = PairState.ASKED if pair.state == PairState.ASKED else PairState.OPEN
    return pair


def _locked(pair_id: int) -> PairSuggestion:
    one_at_a_time()
    rows = PairSuggestion.objects.select_for_update(of=("self",)).select_related("first", "second")
    return rows.get(pk=pair_id)


def _held(pair_id: int, by: User, *, to: PairState, seen: str) -> PairSuggestion:
    """The pair, held, if this may still be decided about it."""
    require(by, Right.REVIEW_CASES)
    pair = _locked(pair_id)
    if pair.first.withdrawn_at or pair.second.withdrawn_at:
        raise PairError(_("One of the two records was withdrawn, so there is nothing to decide any more."))
    if to not in PAIR_MOVES[PairState(pair.state)]:
        raise PairError(_already(pair))
    if pair.first.group_id is not None and pair.first.group_id == pair.second.group_id:
        raise PairError(_("These two are in one same-find group already; take one out of it there."))
    if seen and seen != pair.facts_digest:
        raise PairError(
            _("What is known of these finds changed while you were reading. Look again, then decide.")
        )
    return pair


def _already(pair: PairSuggestion) -> str:
    last = pair.events.select_related("by").last()
    who = _(" by %(by_name)s") % {"by_name": last.by.name} if last and last.by else ""
    when = f", {date_format(localtime(last.at), 'j M Y H:i')}" if last else ""
    what = last.get_verb_display() if last else pair.state
    return _("This was done already%(who)s%(when)s: %(what)s%(value)s. Read the reasons below.") % {
        "who": who,
        "when": when,
        "what": what[:1].lower(),
        "value": what[1:],
    }


def _settle(
    pair: PairSuggestion, to: PairState, verb: PairEvent.Verb, *, by: User, at: datetime, words: str
) -> PairSuggestion:
    pair.state, pair.changed_at = to, at
    pair.save()
    PairEvent.objects.create(pair=pair, at=at, by=by, verb=verb, words=words, facts_digest=pair.facts_digest)
    audit.record(f"pair.{verb.value}", pair, by=by, at=at, words=words)
    return pair
