"""Keep suggestions of pairs in step with the finds: written when a find is recorded or changed, so no page searches.

A find looks only at its nearest neighbours, so that a hoard of hundreds in one spot costs one find no more than
NEAREST. Each keeps at most MOST_EACH, one for each group that lies near: a group is decided about as a whole.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any

import numpy as np
from django.db import transaction
from django.db.models import Max, Min, Q
from django.utils.translation import gettext as _

from finds.models import Find, PairEvent, PairSuggestion
from finds.pair_facts import distance_m, neighbours, pair_facts, with_pair_facts
from finds.same_find import PairFacts, PairScore, Reason, pair_digest, radius_of, score_pair
from finds.states import PairState
from geo.local import Local
from geo.pairs import pair_blocks
from people.models import User

MOST_EACH = 12
"""More for one find would bury the committee; what is decided about these brings the rest along."""

PROPOSED_POINTS = 2.0
"""What the finder's own word adds, so that it is read before what only lies near."""

KEPT = ("score", "distance_m", "reach_m", "reasons", "facts_digest", "state", "changed_at")


def suggest_pairs(find: Find, *, at: datetime) -> None:
    """Write, bring up to date or drop the suggestions about `find`. Inside the transaction that changed it.

    A pair that was judged apart comes back only when what is known of the two has changed since.
    """
    find = with_pair_facts(Find.objects.all()).get(pk=find.pk)
    there = _there(find)
    wanted = _worth_looking(find) if find.withdrawn_at is None else {}
    PairSuggestion.objects.bulk_create(
        _new(find, other, columns, at=at) for other, columns in wanted.items() if other not in there
    )
    _bring_up_to_date(find, there, wanted, at=at)


def suggest_first(find: Find) -> None:
    """The same for a find that was recorded in this transaction: nothing can have been suggested about it yet.

    `find` with hunt, finder and materials loaded.
    """
    wanted = _worth_looking(find)
    PairSuggestion.objects.bulk_create(
        _new(find, other, columns, at=find.recorded_at) for other, columns in wanted.items()
    )


def _there(find: Find) -> dict[int, PairSuggestion]:
    """The suggestions about `find` by the key of the other find."""
    rows = PairSuggestion.objects.filter(Q(first=find) | Q(second=find))
    rows = rows.select_related("proposed_by").select_for_update(of=("self",))
    return {row.second_id if row.first_id == find.pk else row.first_id: row for row in rows}


def _worth_looking(find: Find) -> dict[int, dict[str, Any]]:
    """The columns of each pair worth looking at, by the other find's key."""
    return best_of(pair_facts(find), ((pair_facts(other), other) for other in neighbours(find)))


def best_of(mine: PairFacts, others: Iterable[tuple[PairFacts, Find]]) -> dict[int, dict[str, Any]]:
    """The columns of those worth looking at, by key; the best of each group, MOST_EACH in all."""
    near = [(columns_of(mine, theirs), other) for theirs, other in others if _is_worth_looking(mine, theirs)]
    near.sort(key=lambda each: (-each[0]["score"], each[1].pk))
    best: dict[tuple[str, int], tuple[int, dict[str, Any]]] = {}
    for columns, other in near:
        key = ("group", other.group_id) if other.group_id else ("find", other.pk)
        best.setdefault(key, (other.pk, columns))
    return dict(list(best.values())[:MOST_EACH])


def _is_worth_looking(one: PairFacts, two: PairFacts) -> bool:
    """Judged before the columns are made: most neighbours are not, and reasons and digest take far longer."""
    apart = distance_m(one, two)
    score: PairScore = score_pair(one, two, apart)
    return score.worth_looking and apart is not None and apart <= score.reach_m


def columns_of(one: PairFacts, two: PairFacts) -> dict[str, Any]:
    """Score, distance, reasons and digest of a pair, and whether it is worth looking at."""
    apart = distance_m(one, two)
    score: PairScore = score_pair(one, two, apart)
    return {
        "score": score.score,
        "distance_m": apart,
        "reach_m": score.reach_m,
        "reasons": [asdict(reason) for reason in score.reasons],
        "facts_digest": pair_digest(one, two),
        "worth_looking": score.worth_looking,
    }


def with_word(columns: Mapping[str, Any], finder: User) -> dict[str, Any]:
    """Score and reasons with the word of the finder, who proposed the pair."""
    said = asdict(Reason("proposed", PROPOSED_POINTS, {"finder": finder.name}))
    reasons = [said, *columns["reasons"]]
    return {**columns, "score": columns["score"] + PROPOSED_POINTS, "reasons": reasons}


def _new(find: Find, other: int, columns: Mapping[str, Any], *, at: datetime) -> PairSuggestion:
    first, second = sorted((find.pk, other))
    kept = {name: columns[name] for name in KEPT if name in columns}
    return PairSuggestion(first_id=first, second_id=second, made_at=at, changed_at=at, **kept)


def _bring_up_to_date(
    find: Find,
    there: Mapping[int, PairSuggestion],
    wanted: Mapping[int, Mapping[str, Any]],
    *,
    at: datetime,
) -> None:
    others = {row.pk: row for row in with_pair_facts(Find.objects.filter(pk__in=there))} if there else {}
    changed, again = [], []
    for key, row in there.items():
        columns = wanted.get(key) or columns_of(pair_facts(find), pair_facts(others[key]))
        if row.proposed_by is not None:
            columns = with_word(columns, row.proposed_by)
        state = _state_now(row, columns, is_wanted=key in wanted, together=_together(find, others[key]))
        if (state, columns["facts_digest"]) == (row.state, row.facts_digest):
            continue
        if row.state == PairState.APART and state == PairState.OPEN:
            again.append(
                PairEvent(
                    pair=row, at=at, verb=PairEvent.Verb.AGAIN, facts_digest=columns["facts_digest"],
                    words=_("What is known of these finds changed after they were judged apart."),
                )
            )  # fmt: skip
        for name in KEPT:
            setattr(row, name, columns.get(name, getattr(row, name)))
        row.state, row.changed_at = state, at
        changed.append(row)
    PairSuggestion.objects.bulk_update(changed, KEPT)
    PairEvent.objects.bulk_create(again)


def _together(one: Find, two: Find) -> bool:
    return one.group_id is not None and one.group_id == two.group_id


def _state_now(
    row: PairSuggestion, columns: Mapping[str, Any], *, is_wanted: bool, together: bool
) -> PairState:
    """Where the pair stands with what is known now. What a person said or asks stays until a person decides."""
    state, same_facts = PairState(row.state), columns["facts_digest"] == row.facts_digest
    if together or (state == PairState.APART and same_facts):
        return state
    if is_wanted:
        return PairState.ASKED if state == PairState.ASKED else PairState.OPEN
    if state == PairState.OPEN and row.proposed_by_id is None:
        return PairState.GONE
    return state


@transaction.atomic
def suggest_on_site(site_id: int, *, at: datetime) -> int:
    """Look through all finds of a site and those beside them; how many finds have somebody near.

    For records that came before suggestions were kept, or from a table. Memory grows with the finds there, not
    with their pairs.
    """
    busy = _with_company(site_id)
    for find in Find.objects.filter(pk__in=busy).order_by("pk").iterator(chunk_size=200):
        suggest_pairs(find, at=at)
    return len(busy)


def _with_company(site_id: int) -> list[int]:
    """The finds of the site, by key, with another within reach, in one pass over the ground."""
    live = Find.objects.filter(withdrawn_at=None, lat__isnull=False)
    box = live.filter(site=site_id).aggregate(
        south=Min("lat"), north=Max("lat"), west=Min("lon"), east=Max("lon")
    )
    if box["south"] is None:
        return []
    margin = 0.002  # more than MOST_REACH_M anywhere that people search
    rows = live.filter(
        lat__range=(box["south"] - margin, box["north"] + margin),
        lon__range=(box["west"] - margin, box["east"] + margin),
    ).values_list("pk", "lon", "lat", "accuracy_m", "site")
    found = list(rows)
    company = keys_with_company([row[:4] for row in found], Local(box["west"], box["south"]))
    return [row[0] for row in found if row[4] == site_id and row[0] in company]


def keys_with_company(rows: Sequence[tuple[Any, ...]], local: Local) -> set[int]:
    """Which of these finds (key, lon, lat, accuracy in metres) have another within reach."""
    keys, lon, lat, accuracy = zip(*rows, strict=True)
    x_m, y_m = local.forward(lon, lat)
    company = np.zeros(len(keys), bool)
    for block in pair_blocks(x_m, y_m, [radius_of(each) for each in accuracy]):
        company[block.first] = company[block.second] = True
    return {key for key, has in zip(keys, company, strict=True) if has}


def note_apart(find: Find, others: Iterable[int], *, by: User, at: datetime, words: str) -> None:
    """A find that was taken out of a group was judged apart from the rest of it. Inside a transaction."""
    keys = list(others)
    rows = PairSuggestion.objects.select_for_update().filter(
        Q(first=find, second__in=keys) | Q(second=find, first__in=keys)
    )
    pairs = list(rows)
    rows.update(state=PairState.APART, changed_at=at)
    PairEvent.objects.bulk_create(
        PairEvent(
            pair=pair, at=at, by=by, verb=PairEvent.Verb.APART, words=words, facts_digest=pair.facts_digest
        )
        for pair in pairs
    )
