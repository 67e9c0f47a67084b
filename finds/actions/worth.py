"""Say what a find is worth and what became of it; both are ledgers that only grow."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.models import Find, FindFate, Valuation
from finds.models.settlement import FateWord
from finds.settlement import SettlementError, in_minor_units
from finds.sheets import landholders_then, refuse_held
from people import audit
from people.languages import speaking
from people.models import Club, User
from people.rights import Right, require
from permissions.models import Landholder


def club_currency() -> str:
    """The currency of the club, GBP before it is set up."""
    return Club.objects.filter(pk=1).values_list("currency", flat=True).first() or "GBP"


@transaction.atomic
def add_valuation(
    find_id: int,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    on: date,
    valuer: str,
    method: str,
    low: Decimal,
    high: Decimal,
    corrects: int | None = None,
    why: str = "",
) -> Valuation:
    """Keep one opinion of value, in the club's currency; `corrects` is the row that it takes the place of.

    Raises SettlementError for a value that is not positive, finer than the currency, from high to low, or given on
    a day to come, and where the old row was corrected already.
    """
    require(by, Right.SETTLE)
    find = Find.objects.select_for_update(of=("self",)).get(pk=find_id)
    if (there := Valuation.objects.filter(client_id=client_id).first()) is not None:
        return there
    currency = club_currency()
    what = _("%(find_number)s, valuation by %(valuer)s") % {"find_number": find.number, "valuer": valuer}
    low, high = (in_minor_units(amount, currency, what=what) for amount in (low, high))
    if high < low:
        raise SettlementError(
            _("%(what)s: %(low)s is above %(high)s; give the lower figure first.")
            % {"what": what, "low": low, "high": high}
        )
    old = _to_correct(find, corrects, why)
    row = Valuation.objects.create(
        client_id=client_id, find=find, on=on, valuer=valuer, method=method, currency=currency,
        low=low, high=high, corrects=old, why=why, at=at, by=by,
    )  # fmt: skip
    audit.record("find.value", find, by=by, at=at, corrects=corrects)
    return row


def _to_correct(find: Find, corrects: int | None, why: str) -> Valuation | None:
    if corrects is None:
        return None
    old = Valuation.objects.filter(find=find, pk=corrects).first()
    if old is None or Valuation.objects.filter(corrects=old).exists():
        raise SettlementError(
            _(
                "That valuation of %(find_number)s was corrected already; look at the page again and "
                "correct the last one."
            )
            % {"find_number": find.number}
        )
    if not why:
        raise SettlementError(_("Say why the valuation is corrected; the old one stays on record beside it."))
    return old


@transaction.atomic
def set_fate(
    find_id: int,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    fate: str,
    on: date,
    price: Decimal | None = None,
    keeper: Landholder | None = None,
    waived: bool = False,
    words: str = "",
) -> FindFate:
    """Say what becomes of a find. Raises SettlementError where a heritage case holds it, or a price is amiss."""
    require(by, Right.SETTLE)
    find = Find.objects.select_for_update(of=("self",)).select_related("hunt", "site").get(pk=find_id)
    if (there := FindFate.objects.filter(client_id=client_id).first()) is not None:
        return there
    if fate != FateWord.WITH_AUTHORITY:
        refuse_held([find])
    price = _price(find, fate, price)
    if keeper is not None and keeper not in landholders_then([find]):
        raise SettlementError(
            _(
                "%(keeper)s had no say over the ground of %(find_number)s on the day; choose its owner "
                "or occupier."
            )
            % {"keeper": keeper, "find_number": find.number}
        )
    row = FindFate.objects.create(
        client_id=client_id, find=find, fate=fate, price=price, keeper=keeper, waived=waived, on=on,
        words=words, at=at, by=by,
    )  # fmt: skip
    audit.record("find.fate", find, by=by, at=at, fate=fate, waived=waived)
    return row


def _price(find: Find, fate: str, price: Decimal | None) -> Decimal | None:
    if fate == FateWord.SOLD:
        if price is None:
            raise SettlementError(
                _("%(find_number)s: say what it was sold for, fees already off.")
                % {"find_number": find.number}
            )
        return in_minor_units(
            price, club_currency(), what=_("%(find_number)s, price") % {"find_number": find.number}
        )
    if price is not None:
        raise SettlementError(
            _("%(find_number)s: %(price)s is a price, but it was not sold; empty it or choose “Sold”.")
            % {"find_number": find.number, "price": price}
        )
    return None


def waive(finds: list[Find], *, by: User, at: datetime) -> int:
    """Say of each find without a value and without a fate that nobody asks anything for it. In a transaction."""
    bare: list[Any] = [f for f in finds if not f.standing and not f.fates_last_first]  # type: ignore[attr-defined]
    with speaking(""):
        words = _("Of no value to share")
    for find in bare:
        FindFate.objects.create(
            find=find, fate=FateWord.FINDER_KEEPS, waived=True, on=localdate(at), words=words,
            at=at, by=by,
        )  # fmt: skip
    if bare:
        audit.record_many("find.waive", bare, by=by, at=at)
    return len(bare)
