"""Rewards that authorities gave for finds: they stand beside a settlement and never in its sums."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import OuterRef
from django.utils.translation import ngettext as _n

from finds.models import Case, CaseOutcome, Find, FindFate
from finds.models.case import Decision
from finds.models.settlement import FateWord
from finds.settlement import SettlementError


@dataclass(frozen=True, slots=True)
class Given:
    """What an authority decided last about a case that held finds, and the reward where there is one."""

    case: str
    refs: tuple[str, ...]  # the finds asked about; the case may hold more
    on: date
    decision: str
    reward: Decimal | None
    currency: str
    parts: tuple[tuple[str, Decimal, Decimal], ...]  # who, per cent, amount


def given_for(finds: Iterable[Find]) -> list[Given]:
    """The last outcome of every case that held one of `finds`, by case number; three queries however many."""
    numbers = {find.pk: find.number for find in finds}
    refs: dict[int, list[str]] = {}
    for case, find in Case.objects.filter(finds__in=numbers).order_by("number").values_list("pk", "finds"):
        refs.setdefault(case, []).append(numbers[find])
    last = CaseOutcome.objects.filter(case=OuterRef("case")).order_by("-pk").values("pk")[:1]
    rows = (
        CaseOutcome.objects.filter(pk=last, case__in=refs).select_related("case").prefetch_related("shares")
    )
    return [_given(row, tuple(sorted(refs[row.case_id]))) for row in rows.order_by("case__number")]


def _given(row: CaseOutcome, refs: tuple[str, ...]) -> Given:
    parts = tuple(
        (f"{part.get_party_display()}: {part.name}" if part.name else part.get_party_display(),
         part.percent, part.amount)
        for part in row.shares.all()
    )  # fmt: skip
    return Given(row.case.number, refs, row.on, row.decision, row.reward, row.currency, parts)


def refuse_acquired(fates: dict[str, FindFate | None], given: Iterable[Given]) -> None:
    """Raise SettlementError where a find that a museum acquired would be shared as if somebody still had it.

    `fates` by find number. What was sold to a museum without a reward is shared like any other sale.
    """
    for each in given:
        if each.decision != Decision.ACQUIRED:
            continue
        gone = {FateWord.WITH_AUTHORITY, FateWord.DONATED} | (set() if each.reward else {FateWord.SOLD})
        wrong = [ref for ref in each.refs if (fate := fates[ref]) is None or fate.fate not in gone]
        if wrong:
            raise SettlementError(
                (
                    _n(
                        "%(wrong)s was acquired by a museum (case %(case)s), and a reward for it is shared as the "
                        "authority said. Say of it that it is with the authority, or take it off.",
                        "%(wrong)s were acquired by a museum (case %(case)s), and a reward for it is shared as "
                        "the authority said. Say of each that it is with the authority, or take it off.",
                        len(wrong),
                    )
                    if each.reward
                    else _n(
                        "%(wrong)s was acquired by a museum (case %(case)s), and nobody keeps it. Say of it that it "
                        "is with the authority, or take it off.",
                        "%(wrong)s were acquired by a museum (case %(case)s), and nobody keeps it. Say of each "
                        "that it is with the authority, or take it off.",
                        len(wrong),
                    )
                )
                % {"wrong": ", ".join(wrong), "case": each.case}
            )
