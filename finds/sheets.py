"""From the rows of a settlement sheet to what the pure core works on, and back to names and amounts in words."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Prefetch, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from finds.models import Case, Find, FindFate, Sheet, SheetPayment, Valuation
from finds.rewards import given_for, refuse_acquired
from finds.settlement import (
    Fate,
    Item,
    Settlement,
    SettlementError,
    Share,
    Way,
    exponent_of,
    settle,
)
from finds.settlement import Valuation as Opinion
from finds.states import LOCKS
from permissions.models import Landholder, SiteParty
from permissions.models.site import Capacity
from permissions.terms import Per, Sharing, Threshold, Whole
from tongue import figure

ORGANISER, PROCEEDS = "organiser", "proceeds"
SYMBOLS = {"GBP": "£", "EUR": "€"}


def finder_key(user_id: int) -> str:
    return f"user:{user_id}"


def landholder_key(landholder_id: int) -> str:
    return f"landholder:{landholder_id}"


def terms_data(sharing: Sharing) -> dict[str, str]:
    """The terms as plain values that a sheet keeps."""
    return {name: str(value) for name, value in asdict(sharing).items()}


def terms_from(data: Mapping[str, str]) -> Sharing:
    """What `terms_data` wrote."""
    return Sharing(
        landholder_percent=Decimal(data["landholder_percent"]),
        threshold=Decimal(data["threshold"]),
        wording=Threshold(data["wording"]),
        rule=Whole(data["rule"]),
        per=Per(data["per"]),
        organiser_percent=Decimal(data["organiser_percent"]),
    )


def sum_in_words(amount: Decimal, currency: str) -> str:
    """£1,150.00; with four places where an amount is finer than the currency."""
    places = exponent_of(currency)
    if amount != amount.quantize(Decimal(1).scaleb(-places)):
        places = 4
    digits = figure(f"{amount:,.{places}f}")
    return f"{SYMBOLS[currency]}{digits}" if currency in SYMBOLS else f"{digits} {currency}"


def settling(finds: QuerySet[Find]) -> QuerySet[Find]:
    """With all that settling reads, in a constant number of queries."""
    standing: Any = Valuation.objects.filter(corrected_by__isnull=True).order_by("on", "pk")
    fates: Any = FindFate.objects.select_related("keeper").order_by("-pk")
    rows = finds.select_related("finder", "hunt", "hunt__permission", "site", "group")
    return rows.prefetch_related(
        Prefetch("valuations", standing, to_attr="standing"),
        Prefetch("fates", fates, to_attr="fates_last_first"),
    )


def finds_on(sheet: Sheet) -> list[Find]:
    return list(settling(Find.objects.filter(sheet_rows__sheet=sheet)).order_by("number"))


def cases_holding(finds: Iterable[Find]) -> dict[int, str]:
    """The number of the running case, by the find that it holds; one query."""
    rows = Case.objects.filter(finds__in=[f.pk for f in finds], state__in=LOCKS).order_by("pk")
    return dict(rows.values_list("finds", "number"))


def last_fate(find: Find) -> FindFate | None:
    """What became of a find that `settling` read."""
    fates: list[FindFate] = find.fates_last_first  # type: ignore[attr-defined]
    return fates[0] if fates else None


def item_of(find: Find, currency: str) -> Item:
    """One find as the core settles it. Raises SettlementError for an opinion in another currency."""
    fate = last_fate(find)
    standing: Sequence[Valuation] = find.standing  # type: ignore[attr-defined]
    other = next((v for v in standing if v.currency != currency), None)
    if other is not None:
        raise SettlementError(
            _(
                "%(find_number)s is valued in %(other_currency)s and this sheet is in %(currency)s; add "
                "a valuation in %(currency)s that corrects the other."
            )
            % {"find_number": find.number, "other_currency": other.currency, "currency": currency}
        )
    return Item(
        ref=find.number,
        finder=finder_key(find.finder_id),
        hunt=find.hunt.code,
        group=str(find.group_id or ""),
        fate=Fate(fate.fate) if fate else Fate.FINDER_KEEPS,
        valuations=tuple(Opinion(v.on, v.valuer, v.method, v.low, v.high) for v in standing),
        price=fate.price if fate else None,
        waived=bool(fate and fate.waived),
        keeper=landholder_key(fate.keeper_id) if fate and fate.keeper_id else "",
    )


def shares_of(sheet: Sheet) -> list[Share]:
    rows = sheet.shares.select_related("landholder")
    return [Share(landholder_key(r.landholder_id), r.landholder.name, r.percent) for r in rows]


def work_out(sheet: Sheet, finds: Sequence[Find]) -> Settlement:
    """What the sheet comes to now. Raises SettlementError naming what is missing, or the case that holds a find."""
    refuse_held(finds)
    refuse_acquired({find.number: last_fate(find) for find in finds}, given_for(finds))
    return settle(
        [item_of(find, sheet.currency) for find in finds],
        terms=terms_from(sheet.terms),
        landholders=shares_of(sheet),
        currency=sheet.currency,
        way=Way(sheet.way),
    )


def refuse_held(finds: Sequence[Find]) -> None:
    """Raise SettlementError for a find that a running heritage case holds, with the number of the case."""
    held = cases_holding(finds)
    words = [
        _("%(find_number)s (case %(held)s)") % {"find_number": find.number, "held": held[find.pk]}
        for find in finds
        if find.pk in held
    ]
    if words:
        raise SettlementError(
            _n(
                "A heritage case still runs on %(words)s. What the law asks goes first: settle it when "
                "the case has ended.",
                "A heritage case still runs on %(words)s. What the law asks goes first: settle them when "
                "the case has ended.",
                len(words),
            )
            % {"words": ", ".join(words)}
        )


def names_of(sheet: Sheet, finds: Sequence[Find], club: str) -> dict[str, str]:
    """Every party of the sheet by its key."""
    names = {finder_key(find.finder_id): find.finder.name for find in finds}
    names |= {share.key: share.name for share in shares_of(sheet)}
    return names | {
        ORGANISER: _("%(club)s (organiser)") % {"club": club},
        PROCEEDS: _("the money from sales"),
    }


def landholders_then(finds: Iterable[Find]) -> list[Landholder]:
    """Owners and occupiers of the ground on the days of the hunts, each once, owners first."""
    days = {(find.site_id, find.hunt.on) for find in finds}
    found: dict[int, tuple[str, Landholder]] = {}
    for site_id, day in sorted(days, key=str):
        parties = SiteParty.objects.on(day).filter(
            site=site_id, capacity__in=[Capacity.OWNER, Capacity.OCCUPIER]
        )
        for party in parties.select_related("landholder"):
            found.setdefault(party.landholder_id, (party.capacity, party.landholder))
    ranked = sorted(found.values(), key=lambda each: (each[0] != Capacity.OWNER, each[1].name))
    return [landholder for _rest, landholder in ranked]


def figures_of(answer: Settlement, names: Mapping[str, str]) -> dict[str, Any]:
    """What a sheet that is sent keeps of its arithmetic."""
    return {
        "total": str(answer.total),
        "due": {key: str(amount) for key, amount in answer.due},
        "held": {key: str(amount) for key, amount in answer.held},
        "payments": [[p.payer, p.payee, str(p.amount)] for p in answer.payments],
        "names": dict(names),
    }


def paid_on(sheet: Sheet) -> list[SheetPayment]:
    """Payments on the sheet and on those that it replaced, the earliest first."""
    chain, current = [sheet.pk], sheet.replaces
    while current is not None:
        chain.append(current.pk)
        current = current.replaces
    return list(SheetPayment.objects.filter(sheet__in=chain).select_related("by").order_by("on", "pk"))


def still_to_pay(sheet: Sheet) -> dict[tuple[str, str], Decimal]:
    """What is left of each payment, from party to party; what was paid too much goes back."""
    left: dict[tuple[str, str], Decimal] = {}
    for payer, payee, amount in sheet.figures.get("payments", []):
        left[payer, payee] = left.get((payer, payee), Decimal(0)) + Decimal(amount)
    for row in paid_on(sheet):
        left[row.payer, row.payee] = left.get((row.payer, row.payee), Decimal(0)) - row.amount
    back = {(payee, payer): -amount for (payer, payee), amount in left.items() if amount < 0}
    owed = {pair: amount for pair, amount in left.items() if amount > 0}
    for pair, amount in back.items():
        owed[pair] = owed.get(pair, Decimal(0)) + amount
    return owed


def terms_day(finds: Sequence[Find]) -> date:
    """The day whose terms count: that of the earliest hunt."""
    return min(find.hunt.on for find in finds)
