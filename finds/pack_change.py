"""Finds that older law packs judged: how many, by which packs, and what the packs now in force would say of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Count, Max, Q, QuerySet
from django.utils.translation import gettext as _

from finds.actions.screening import judge_together, latest_of
from finds.models import Find, ScreeningRecord
from law.compare import Change, differences
from law.pack import load_pack, pack_codes
from law.retold import all_retold
from law.screening import Screening
from law.together import fingerprint, packs_for


def out_of_date() -> QuerySet[Find]:
    """Live finds that the packs now in force in their place have not judged."""
    current = Q()
    for code in pack_codes():
        current |= Q(site__jurisdiction=code, judged_by=fingerprint(code))
    return Find.objects.filter(withdrawn_at=None, site__jurisdiction__in=pack_codes()).exclude(current)


def without_pack() -> QuerySet[Find]:
    """Live finds in a place whose law nothing is known of here: nothing can be said about duties."""
    return Find.objects.filter(withdrawn_at=None).exclude(site__jurisdiction__in=pack_codes())


@dataclass(frozen=True, slots=True)
class Waiting:
    """Finds of one place that were judged by the same older packs. `before` and `after` name packs and versions."""

    place: str
    title: str
    before: str
    after: str
    finds: int

    def to_dict(self) -> dict[str, Any]:
        return {name: getattr(self, name) for name in self.__slots__}


def waiting_finds() -> list[Waiting]:
    """What has to be screened again, place by place; empty when every find was judged by the packs in force."""
    rows = out_of_date().order_by().values("site__jurisdiction", "judged_by").annotate(finds=Count("pk"))
    counted = list(rows.order_by("site__jurisdiction", "judged_by"))
    said = _packs_of({row["judged_by"] for row in counted})
    return [
        _waiting(row["site__jurisdiction"], said.get(row["judged_by"], ""), row["finds"]) for row in counted
    ]


def _waiting(place: str, before: str, finds: int) -> Waiting:
    after = packs_words([{"code": pack.code, "version": pack.version} for pack in packs_for(place)])
    if not before:
        before = _("not judged yet, or by rules whose text was not kept")
    elif before == after:
        before = _("%(before)s, whose text was another") % {"before": before}
    return Waiting(place, load_pack(place).title, before, after, finds)


def _packs_of(prints: set[str]) -> dict[str, str]:
    """The packs behind each fingerprint, from one screening that they judged."""
    rows = ScreeningRecord.objects.filter(judged_by__in=prints - {""}).order_by().values("judged_by")
    keys = [row["key"] for row in rows.annotate(key=Max("pk"))]
    records = ScreeningRecord.objects.filter(pk__in=keys).only("judged_by", "packs")
    return {record.judged_by: packs_words(record.packs) for record in records}


def packs_words(packs: Sequence[dict[str, str]]) -> str:
    """“us-washington 2026.2 with us-federal 2026.2”."""
    return " with ".join(f"{pack['code']} {pack['version']}" for pack in packs)


@dataclass(frozen=True, slots=True)
class Look:
    """One find with what screening it again would change."""

    find: Find
    changes: tuple[Change, ...]


def look_at(finds: Sequence[Find], *, at: datetime) -> list[Look]:
    """What would change for each of these finds, without keeping anything; in as many queries for 200 as for one."""
    groups = {find.group_id for find in finds if find.group_id}
    wanted = Q(pk__in=[find.pk for find in finds]) | Q(group__in=groups, withdrawn_at=None)
    rows = Find.objects.filter(wanted).select_related("site").order_by("found_at", "pk")
    together: dict[int, list[Find]] = {}
    for find in rows.prefetch_related("materials", "site__protected_checks"):
        together.setdefault(find.group_id or -find.pk, []).append(find)
    before = latest_of(finds)
    after: dict[int, Screening] = {}
    for same in together.values():
        after |= {pk: screening for pk, (_rest, screening) in judge_together(same, at=at).items()}
    return [
        Look(find, all_retold(changes_between(before.get(find.pk), after[find.pk])))
        for find in finds
        if find.pk in after
    ]


def changes_between(before: ScreeningRecord | None, after: Screening) -> tuple[Change, ...]:
    """Every difference between what was kept and `after`."""
    return differences(Screening.from_dict(before.result) if before else None, after)
