"""From objects, valuations and terms to what each party is due and who pays whom."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from finds.settlement.model import (
    HELD,
    ORGANISER,
    Item,
    Kept,
    Line,
    Payment,
    Settlement,
    SettlementError,
    Share,
    Step,
    Way,
)
from finds.settlement.value import REMAINDER_RULE, agreed_value, is_shared, opinions_wanted, split_exactly
from permissions.terms import Per, Sharing, Threshold, Whole
from tongue import figure, one_of
from tongue import say as _

PROCEEDS = Kept.PROCEEDS.value
HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class _Unit:
    """What one threshold is measured on, with the value of each of its objects."""

    title: str
    items: tuple[Item, ...]
    values: Mapping[str, Decimal]

    @property
    def value(self) -> Decimal:
        return sum((self.values[item.ref] for item in self.items), Decimal(0))


def settle(
    items: Sequence[Item],
    *,
    terms: Sharing,
    landholders: Sequence[Share],
    currency: str,
    way: Way = Way.MEAN,
) -> Settlement:
    """Settle `items` under `terms`: the arithmetic of each unit, what is due, what is held and who pays whom.

    `landholders` share the landholder's side among themselves; their percentages add up to 100. Money from sales is
    held as "proceeds". Amounts are in `currency` (ISO 4217), to its minor unit.
    Raises SettlementError naming the object, the value and the remedy.
    """
    _check(items, terms, landholders)
    money = [item for item in items if item.fate in HELD and not item.waived]
    values = {item.ref: agreed_value(item, currency, way) for item in money}
    lines = [_line(unit, terms, landholders, currency) for unit in _units(money, values, terms.per)]
    due = _sums(part for line in lines for part in line.parts)
    held = _sums((_keeper(item, landholders), values[item.ref]) for item in money)
    return Settlement(
        currency=currency,
        terms=terms,
        lines=tuple(lines),
        due=tuple(due.items()),
        held=tuple(held.items()),
        payments=tuple(_payments(due, held)),
        apart=tuple((item.ref, _why_apart(item)) for item in items if item not in money),
        warnings=tuple(w for item in money if (w := opinions_wanted(item, values[item.ref], terms))),
        remainder_rule=REMAINDER_RULE,
    )


def _check(items: Sequence[Item], terms: Sharing, landholders: Sequence[Share]) -> None:
    refs = [item.ref for item in items]
    twice = sorted({ref for ref in refs if refs.count(ref) > 1})
    if twice:
        raise SettlementError(
            _("%(twice)s stands on the sheet twice; take one of the two away.") % {"twice": ", ".join(twice)}
        )
    for name, percent in (
        (_("The landholder's share"), terms.landholder_percent),
        (_("The organiser's part"), terms.organiser_percent),
    ):
        if not percent.is_finite() or not 0 <= percent <= HUNDRED:
            raise SettlementError(
                _("%(name)s is %(percent)s %%; give a figure from 0 to 100.")
                % {"name": name, "percent": percent}
            )
    if not terms.threshold.is_finite() or terms.threshold < 0:
        raise SettlementError(
            _("A threshold of %(terms_threshold)s cannot be reached or missed; give 0 or more.")
            % {"terms_threshold": terms.threshold}
        )
    check_whole(landholders, _("the landholders"))


def check_whole(shares: Sequence[Share], whose: str) -> None:
    """Raise SettlementError unless no share is below nothing and they add up to 100 per cent."""
    low = next((share for share in shares if not share.percent.is_finite() or share.percent < 0), None)
    if low is not None:
        raise SettlementError(
            _("The share of %(low_name)s is %(low_percent)s %%; give 0 or more.")
            % {"low_name": low.name, "low_percent": low.percent}
        )
    total = sum((share.percent for share in shares), Decimal(0))
    if total != HUNDRED:
        raise SettlementError(
            _("The shares of %(whose)s add up to %(percent)s, not 100 %%; change one of them.")
            % {"whose": whose, "percent": _percent(total)}
        )


def _why_apart(item: Item) -> str:
    return (
        _("%(fate_value)s, and nothing is asked for it") % {"fate_value": _(item.fate.value)}
        if item.fate in HELD
        else _(item.fate.value)
    )


def _units(items: Iterable[Item], values: Mapping[str, Decimal], per: Per) -> list[_Unit]:
    """The objects put together as the threshold counts them, in the order in which they came."""
    kept: dict[str, list[Item]] = defaultdict(list)
    for item in items:
        kept[_counts_with(item, per)].append(item)
    return [_Unit(title, tuple(rows), values) for title, rows in kept.items()]


def _counts_with(item: Item, per: Per) -> str:
    if per is Per.HUNT and item.hunt:
        return _("hunt %(item_hunt)s") % {"item_hunt": item.hunt}
    if per is Per.GROUP and item.group:
        return _("same find %(item_group)s") % {"item_group": item.group}
    return item.ref


def _line(unit: _Unit, terms: Sharing, landholders: Sequence[Share], currency: str) -> Line:
    shared = is_shared(unit.value, terms)
    base = Fraction(0)
    if shared:
        base = Fraction(unit.value - (terms.threshold if terms.rule is Whole.EXCESS_ONLY else 0))
    organiser = base * Fraction(terms.organiser_percent) / 100
    landholder = (base - organiser) * Fraction(terms.landholder_percent) / 100
    finder = Fraction(unit.value) - organiser - landholder
    exact = _by_party(unit, organiser, landholder, finder, landholders)
    first = [share.key for share in landholders]
    parts = split_exactly(unit.value, exact, currency, first=first)
    return Line(
        title=unit.title,
        refs=tuple(item.ref for item in unit.items),
        value=unit.value,
        shared=shared,
        steps=tuple(_steps(unit, terms, shared, base, organiser)),
        parts=tuple((key, amount) for key, amount in parts.items() if amount),
    )


def _by_party(
    unit: _Unit, organiser: Fraction, landholder: Fraction, finder: Fraction, landholders: Sequence[Share]
) -> dict[str, Fraction]:
    """Exact amounts: each landholder by agreed share, each finder by the worth of what they found in the unit."""
    exact: dict[str, Fraction] = {ORGANISER: organiser}
    for share in landholders:
        exact[share.key] = landholder * Fraction(share.percent) / 100
    for item in unit.items:
        part = finder * Fraction(unit.values[item.ref]) / Fraction(unit.value)
        exact[item.finder] = exact.get(item.finder, Fraction(0)) + part
    return exact


def _steps(unit: _Unit, terms: Sharing, shared: bool, base: Fraction, organiser: Fraction) -> Iterable[Step]:
    reads = _("or more") if terms.wording is Threshold.AT_LEAST else _("and only above it")
    yield Step(_("Value of %(unit_title)s") % {"unit_title": unit.title}, unit.value)
    yield Step(_("Sharing starts at (%(reads)s)") % {"reads": reads}, terms.threshold)
    if not shared:
        yield Step(_("Not reached: nothing is shared"), Decimal(0))
        return
    whole = terms.rule is Whole.WHOLE_VALUE
    yield Step(
        _("Shared: the whole value") if whole else _("Shared: what exceeds the threshold"), _plain(base)
    )
    if terms.organiser_percent:
        yield Step(
            _("Organiser's part first, %(percent)s of that") % {"percent": _percent(terms.organiser_percent)},
            _plain(organiser),
        )
    rest = base - organiser
    yield Step(_("Left to share between landholder and finder"), _plain(rest))
    yield Step(
        _("Landholder, %(percent)s of that") % {"percent": _percent(terms.landholder_percent)},
        _plain(rest * Fraction(terms.landholder_percent) / 100),
    )


def _percent(percent: Decimal) -> str:
    return f"{figure(f'{percent.normalize():f}')} %"


def _plain(exact: Fraction) -> Decimal:
    """The exact amount in decimals; four places show where a minor unit had to be cut."""
    return (Decimal(exact.numerator) / Decimal(exact.denominator)).quantize(Decimal("0.0001"))


def _keeper(item: Item, landholders: Sequence[Share]) -> str:
    """The party in whose hands the value of `item` lies."""
    kept = HELD[item.fate]
    if kept is Kept.FINDER:
        return item.finder
    if kept is Kept.PROCEEDS:
        return PROCEEDS
    keys = [share.key for share in landholders]
    if item.keeper in keys:
        return item.keeper
    if len(keys) != 1:
        names = one_of(share.name for share in landholders)
        raise SettlementError(
            _("%(item_ref)s stays with a landholder; say with whom: %(names)s.")
            % {"item_ref": item.ref, "names": names}
        )
    return keys[0]


def _sums(parts: Iterable[tuple[str, Decimal]]) -> dict[str, Decimal]:
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for key, amount in parts:
        sums[key] += amount
    return dict(sums)


def _payments(due: Mapping[str, Decimal], held: Mapping[str, Decimal]) -> Iterable[Payment]:
    """The fewest simple payments: money from sales first, then those who hold more than they are due."""
    keys = [PROCEEDS, *(key for key in {**due, **held} if key != PROCEEDS)]
    balance = {key: due.get(key, Decimal(0)) - held.get(key, Decimal(0)) for key in keys}
    wanted = {key: amount for key, amount in balance.items() if amount > 0}
    for payer in keys:
        left = -balance[payer]
        while left > 0:
            payee = next(iter(wanted))
            amount = min(left, wanted[payee])
            yield Payment(payer, payee, amount)
            left -= amount
            wanted[payee] -= amount
            if not wanted[payee]:
                del wanted[payee]
