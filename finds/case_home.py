"""Where a decision sends the objects of a case, and which of them are not there yet according to custody."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from finds.models import Case, CustodyEntry, Find
from finds.models.case import Decision
from finds.models.custody import AUTHORITY, FINAL, NOBODY, Holder
from tongue import noop

# What came back is at home with its finder or the landholder; what was acquired is with whoever acquired it. An object
# that is lost, reburied or sold is where it is. Other outcomes send an object nowhere.
PLACES: dict[str, frozenset[str]] = {
    Decision.RETURNED: frozenset({Holder.FINDER, Holder.LANDHOLDER, *FINAL}),
    Decision.DISCLAIMED: frozenset({Holder.FINDER, Holder.LANDHOLDER, *FINAL}),
    Decision.ACQUIRED: frozenset({*AUTHORITY, *NOBODY}),
}
SENT = {
    Decision.RETURNED: noop("returned, so it goes home to its finder or the landholder"),
    Decision.DISCLAIMED: noop("disclaimed, so it goes home to its finder or the landholder"),
    Decision.ACQUIRED: noop("acquired, so custody has to say with whom it is"),
}


@dataclass(frozen=True, slots=True)
class Away:
    """An object that is not where the decision about its case sends it."""

    case: Case
    find: Find
    holder: CustodyEntry | None

    @property
    def where(self) -> str:
        """Who has it, without the name: that may be a landholder's."""
        return self.holder.get_to_holder_display().lower() if self.holder else _("nobody on record")

    @property
    def words(self) -> str:
        sent = _(SENT[Decision(self.case.decision)])
        return _("%(find_number)s was %(sent)s; by the ledger it is with: %(where)s.") % {
            "find_number": self.find.number,
            "sent": sent,
            "where": self.where,
        }


def not_where_it_should_be(cases: Iterable[Case]) -> list[Away]:
    """Objects of decided cases that are not yet where the decision sends them, in three queries however many."""
    decided = {case.pk: case for case in cases if case.decision in PLACES}
    pairs = list(
        Case.finds.through.objects.filter(case__in=decided, find__withdrawn_at=None)
        .order_by("case", "find")
        .values_list("case", "find")
    )
    finds = Find.objects.in_bulk({find for _rest, find in pairs})
    rows = CustodyEntry.objects.filter(find__in=finds).order_by("find", "step")
    holders = {row.find_id: row for row in rows}
    away = [Away(decided[case], finds[find], holders.get(find)) for case, find in pairs]
    return [
        row for row in away if row.holder is None or row.holder.to_holder not in PLACES[row.case.decision]
    ]
