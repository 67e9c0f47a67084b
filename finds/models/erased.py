"""Names of landholders in custody: the ledger keeps what was written, a page looks the person up before it shows it.

An entry holds a name in words, because whoever received an object need not be on record. Once a landholder of the
find's site is erased, a landholder's name is shown only if it holds the name of somebody of that site who is still on
record.
"""

from typing import Any

from django.db.models import Case, CharField, Exists, ExpressionWrapper, F, OuterRef, Q, QuerySet, Value, When

from permissions.models import SiteParty

LANDHOLDER = "landholder"
ERASED = "Erased landholder"


def is_erased(side: str, parties: QuerySet[SiteParty]) -> Case:
    """Whether the name of `side`, "from" or "to", was of somebody erased. `parties`: those of the objects' sites."""
    written = ExpressionWrapper(OuterRef(f"{side}_name"), output_field=CharField())
    typed = parties.filter(landholder__erased_on=None).annotate(typed=written)
    contact = Q(typed__icontains=F("landholder__contact_name")) & ~Q(landholder__contact_name="")
    known = typed.filter(Q(typed__icontains=F("landholder__name")) | contact)
    gone = Exists(parties.filter(landholder__erased_on__isnull=False)) & ~Exists(known)
    return Case(When(Q(**{f"{side}_holder": LANDHOLDER}) & gone, then=Value(True)), default=Value(False))


class NamesShownMixin:
    """`from_shown` and `to_shown`, with the landholder looked up. Read by the manager; one query where it was not."""

    @property
    def from_shown(self) -> str:
        return self._shown("from")

    @property
    def to_shown(self) -> str:
        return self._shown("to")

    def _shown(self, side: str) -> str:
        name: str = getattr(self, f"{side}_name")
        if getattr(self, f"{side}_holder") != LANDHOLDER:
            return name
        flag = f"{side}_erased"
        if flag not in self.__dict__:
            rows: Any = type(self).objects.filter(pk=self.pk)  # type: ignore[attr-defined]
            self.__dict__[flag] = rows.values_list(flag, flat=True).first()
        return ERASED if self.__dict__[flag] else name
