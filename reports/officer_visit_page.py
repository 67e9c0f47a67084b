"""What the pages about visits to the officer show: finds that may go, the list, and what to say of each."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Prefetch, QuerySet
from django.utils.translation import gettext as _

from finds.actions.custody import holder_words
from finds.models import Case, CustodyEntry, Find
from finds.models.custody import AUTHORITY, FINAL
from finds.states import LOCKS
from people.models import Club, Contact, User
from reports.models import OfficerVisit, OfficerVisitItem
from reports.states import OfficerVisitState

MOST = 500


@dataclass(frozen=True, slots=True)
class Candidate:
    """A find that may go: it is under a case that runs, and neither with an authority nor on another list."""

    find: Find
    holder: str
    cases: str

    @property
    def words(self) -> str:
        under = f", {self.cases}" if self.cases else ""
        return _("%(find_number)s %(find_object_type)s: with %(holder)s%(under)s") % {
            "find_number": self.find.number,
            "find_object_type": self.find.object_type,
            "holder": self.holder,
            "under": under,
        }


def candidates(user: User) -> list[Candidate]:
    """Finds under a running case that this reader may see, with who has them; the query count does not grow."""
    rows = _with_holder(Find.objects.visible_to(user).filter(cases__state__in=LOCKS).distinct())
    planned = OfficerVisitItem.objects.filter(visit__state=OfficerVisitState.PLANNED).values("find")
    visible: Any = Case.objects.visible_to(user).filter(state__in=LOCKS)
    rows = rows.exclude(pk__in=planned).prefetch_related(Prefetch("cases", visible, to_attr="running"))
    found = []
    for find in rows.order_by("number")[:MOST]:
        last = holder_of(find)
        if last is not None and last.to_holder not in {*AUTHORITY, *FINAL}:
            cases = ", ".join(case.number for case in find.running)
            found.append(Candidate(find, holder_words(last), cases))
    return found


def _with_holder(finds: QuerySet[Find]) -> QuerySet[Find]:
    current: Any = CustodyEntry.objects.current()
    return finds.prefetch_related(Prefetch("custody", current, to_attr="custody_now"))


def holder_of(find: Find) -> CustodyEntry | None:
    """Who has it now; `find` as `_with_holder` read it."""
    rows: list[CustodyEntry] = find.custody_now  # type: ignore[attr-defined]
    return rows[0] if rows else None


def items_of(visit: OfficerVisit) -> list[OfficerVisitItem]:
    """The objects of the visit with photographs, finder, holder and hand-over."""
    finds: Any = _with_holder(
        Find.objects.select_related("finder", "hunt", "site").prefetch_related("materials")
    )
    rows = visit.items.select_related("hand_over").prefetch_related(Prefetch("find", finds))
    return list(rows.order_by("find__number", "pk"))


def item_rows(items: Sequence[OfficerVisitItem]) -> list[dict[str, Any]]:
    """Rows of the list: what is shown of each object, never where it lay."""
    rows = []
    for item in items:
        last = holder_of(item.find)
        rows.append(
            {
                "item": item,
                "find": item.find,
                "holder": holder_words(last) if last else _("not recorded"),
                "materials": ", ".join(str(row) for row in item.find.materials.all()),
            }
        )
    return rows


def officer_contacts() -> list[Contact]:
    """Whom a visit may go to."""
    kinds = [Contact.Kind.FINDS_OFFICER, Contact.Kind.MUSEUM, Contact.Kind.CORONER, Contact.Kind.RECEIVER]
    return list(Contact.objects.filter(kind__in=kinds))


def the_club() -> Club:
    return Club.objects.filter(pk=1).first() or Club(name=_("The club"))
