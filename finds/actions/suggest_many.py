"""Suggest pairs for many new finds at once: the ground is read once, and only finds with company are looked at."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finds.actions.suggest import KEPT, best_of, columns_of, keys_with_company
from finds.import_ground import portions
from finds.models import Find, PairSuggestion
from finds.pair_facts import NEAREST, pair_facts, reach_box, with_pair_facts
from finds.same_find import PairFacts
from finds.states import PairState
from geo.local import Local
from geo.measure import GEOD
from geo.pairs import reach_m

Floats = NDArray[np.float64]
_MARGIN = 0.002  # more than MOST_REACH_M anywhere that people search


def suggest_for_new(finds: Sequence[Find]) -> None:
    """Write what suggest_pairs would for each of these new finds, one after the other, all of them being there.

    Inside the transaction that recorded them. Memory grows with the finds on their ground.
    """
    placed = [find for find in finds if find.lat is not None]
    for site in sorted({find.site_id for find in placed}):
        mine = [find.pk for find in placed if find.site_id == site]
        _suggest_on_ground(mine, [find for find in placed if find.site_id == site])


@dataclass
class _Around:
    """The live finds of a piece of ground by key, in order; those with company in full, their facts read once."""

    keys: tuple[int, ...]
    finds: dict[int, Find]
    lon: Floats
    lat: Floats
    facts: dict[int, PairFacts] = field(default_factory=dict)

    def said(self, find: Find) -> PairFacts:
        if find.pk not in self.facts:
            self.facts[find.pk] = pair_facts(find)
        return self.facts[find.pk]

    def within_reach(self, find: Find) -> Iterable[Find]:
        """Those of the nearest NEAREST that lie no farther than both places may be out; the order of `neighbours`."""
        high, wide = reach_box(find.lat or 0.0)
        north, east = self.lat - (find.lat or 0.0), self.lon - (find.lon or 0.0)
        there = np.flatnonzero((np.abs(north) <= high) & (np.abs(east) <= high / wide))
        apart = north[there] ** 2 + (east[there] * wide) ** 2
        near = [i for i in there[np.argsort(apart, kind="stable")] if self.keys[i] != find.pk][:NEAREST]
        near = [i for i in near if self.keys[i] in self.finds]
        if not near:
            return []
        same = np.full(len(near), find.lon), np.full(len(near), find.lat)
        metres = GEOD.inv(*same, self.lon[near], self.lat[near])[2]
        mine = self.said(find).radius_m
        others = [self.finds[self.keys[i]] for i in near]
        return [
            other
            for other, apart_m in zip(others, metres, strict=True)
            if apart_m <= reach_m(mine, self.said(other).radius_m)
        ]


def _suggest_on_ground(keys: Sequence[int], finds: Sequence[Find]) -> None:
    lat = [find.lat for find in finds if find.lat is not None]
    lon = [find.lon for find in finds if find.lon is not None]
    box = (min(lat) - _MARGIN, max(lat) + _MARGIN), (min(lon) - _MARGIN, max(lon) + _MARGIN)
    live = Find.objects.filter(withdrawn_at=None, lat__range=box[0], lon__range=box[1])
    rows = list(live.order_by("pk").values_list("pk", "lon", "lat", "accuracy_m"))
    busy = keys_with_company(rows, Local(min(lon), min(lat)))
    mine = [key for key in keys if key in busy]
    if mine:
        parts = portions(sorted(busy))
        full = {find.pk: find for part in parts for find in with_pair_facts(Find.objects.filter(pk__in=part))}
        known, east, north, _ = zip(*rows, strict=True)
        around = _Around(known, full, np.array(east, float), np.array(north, float))
        _write(around, [full[key] for key in sorted(mine)])


def _write(around: _Around, mine: Sequence[Find]) -> None:
    """The suggestions of each find in its turn; one that a later find does not want is gone, as it would be."""
    made: dict[tuple[int, int], PairSuggestion] = {}
    of: dict[int, set[int]] = {}
    for find in mine:
        wanted = best_of(around.said(find), ((around.said(o), o) for o in around.within_reach(find)))
        for other in [*wanted, *(of.get(find.pk, set()) - wanted.keys())]:
            key = (min(find.pk, other), max(find.pk, other))
            state = PairState.OPEN if other in wanted else PairState.GONE
            columns = wanted.get(other) or columns_of(around.said(find), around.said(around.finds[other]))
            later = max(find.recorded_at, around.finds[other].recorded_at)
            _put(made, key, state, columns, at=later)
            of.setdefault(find.pk, set()).add(other)
            of.setdefault(other, set()).add(find.pk)
    PairSuggestion.objects.bulk_create(made.values())


def _put(
    made: dict[tuple[int, int], PairSuggestion],
    key: tuple[int, int],
    state: PairState,
    columns: dict[str, Any],
    *,
    at: datetime,
) -> None:
    row = made.get(key)
    if row is None:
        kept = {name: columns[name] for name in KEPT if name in columns}
        row = made[key] = PairSuggestion(first_id=key[0], second_id=key[1], made_at=at, changed_at=at, **kept)
    row.state = state
