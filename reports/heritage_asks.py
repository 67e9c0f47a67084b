"""What each law or guidance asks of a report, and what of it a case does not say yet.

Source: the law file of this project, part f (report contents); each entry says what it rests on and whether that
was read in the text itself, in official guidance, or is common practice from memory. An entry that is missing
never holds a report back: a late report is worse than a short one.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from django.utils.translation import gettext as _

from finds.models.choices import Tri
from reports.build.heritage_case import CaseFacts, ObjectFacts
from tongue import noop

SIX_FIGURES_M = 100.0
"""The square of a six-figure grid reference."""
TEN_FIGURES_M = 1.0
"""The square of a ten-figure grid reference."""


class Regime(StrEnum):
    TREASURE = noop("Treasure Act 1996 s.8")
    NI = noop("Historic Monuments and Archaeological Objects (NI) Order 1995 art 42(1)")
    IRELAND = noop("National Monuments (Amendment) Act 1930 s.23")
    SCOTLAND = noop("Reporting of finds in Scotland")
    WRECK = noop("Notice of wreck")
    OTHER = noop("Good practice")


class Basis(StrEnum):
    LAW = noop("asked by the law")
    GUIDANCE = noop("asked by official guidance")
    PRACTICE = noop("common practice")


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing asked for. `given` says whether the record of an object has it."""

    what: str
    basis: Basis
    given: Callable[[ObjectFacts], bool]


@dataclass(frozen=True, slots=True)
class Missing:
    """Something the officer will ask for: what, on which basis, and the objects that lack it."""

    what: str
    regime: Regime
    basis: Basis
    numbers: tuple[str, ...]


def _within(metres: float) -> Callable[[ObjectFacts], bool]:
    def given(each: ObjectFacts) -> bool:
        accuracy = each.find.accuracy_m
        return each.point is not None and accuracy is not None and accuracy <= metres

    return given


def _has_size(each: ObjectFacts) -> bool:
    find = each.find
    return any((find.length_mm, find.width_mm, find.diameter_mm, find.weight_g))


def _says_what_it_is(each: ObjectFacts) -> bool:
    return bool(each.find.object_type and (each.find.description or each.find.object_uri))


PLACE = Ask(
    noop("the exact place, to a six-figure reference (100 m) or finer"),
    Basis.GUIDANCE,
    _within(SIX_FIGURES_M),
)
HOW_FIXED = Ask(
    noop("how exact the place is and how it was fixed"),
    Basis.PRACTICE,
    lambda each: bool(each.find.accuracy_m and each.find.position_method),
)
NATURE = Ask(noop("what it is: a description in words"), Basis.GUIDANCE, _says_what_it_is)
OWNERS = Ask(noop("the owner or occupier of the land"), Basis.GUIDANCE, lambda each: bool(each.parties))
PHOTO = Ask(noop("a photograph"), Basis.GUIDANCE, lambda each: bool(each.photos))
DEPTH = Ask(noop("the depth"), Basis.PRACTICE, lambda each: each.find.depth_cm is not None)
MATERIAL = Ask(noop("the material"), Basis.GUIDANCE, lambda each: bool(each.find.materials.all()))
SIZE = Ask(noop("size or weight"), Basis.GUIDANCE, _has_size)
PHONE = Ask(noop("the finder's phone number"), Basis.GUIDANCE, lambda each: bool(each.find.finder.phone))
HELD = Ask(noop("where it is now"), Basis.LAW, lambda each: each.holder is not None)
NEARBY = Ask(
    noop("whether other objects lay close by"),
    Basis.GUIDANCE,
    lambda each: bool(each.near.count) or each.find.facts.get("others_nearby") in {Tri.YES, Tri.NO},
)
IDENTIFIED = Ask(
    noop("who identified it, and when"),
    Basis.PRACTICE,
    lambda each: bool(each.find.identified_by and each.find.identified_on),
)
CONDITION = Ask(
    noop("its condition, and that it was not cleaned or coated"),
    Basis.GUIDANCE,
    lambda each: bool(each.find.condition),
)
MARKS = Ask(
    noop("marks or inscription, or “none seen”"),
    Basis.LAW,
    lambda each: bool(each.find.inscription),
)


def _by_law(ask: Ask) -> Ask:
    return Ask(ask.what, Basis.LAW, ask.given)


ASKS: dict[Regime, tuple[Ask, ...]] = {
    Regime.TREASURE: (PLACE, HOW_FIXED, NATURE, OWNERS, NEARBY, PHOTO, DEPTH, IDENTIFIED),
    Regime.NI: (
        _by_law(NATURE),
        Ask(noop("the name of the owner or occupier, if known"), Basis.LAW, OWNERS.given),
        Ask(noop("where it may be seen, or to whom it was handed"), Basis.LAW, HELD.given),
        PLACE, HOW_FIXED, PHONE, SIZE, MATERIAL, PHOTO,
    ),
    Regime.IRELAND: (
        Ask(noop("the nature and character of the object"), Basis.LAW, NATURE.given),
        Ask(noop("the exact location"), Basis.LAW, _within(SIX_FIGURES_M)),
        Ask(noop("the owner or occupier, after reasonable inquiry"), Basis.LAW, OWNERS.given),
        HELD, HOW_FIXED, PHOTO,
    ),
    Regime.SCOTLAND: (
        Ask(
            noop("a fix good for a ten-figure reference (1 m), if it can be had"),
            Basis.GUIDANCE,
            _within(TEN_FIGURES_M),
        ),
        HOW_FIXED, NATURE, PHOTO, CONDITION,
    ),
    Regime.WRECK: (_by_law(PLACE), _by_law(NATURE), MARKS),
    Regime.OTHER: (PLACE, HOW_FIXED, NATURE, OWNERS, PHOTO, DEPTH, HELD, IDENTIFIED),
}  # fmt: skip
_RULES = (("ta-", Regime.TREASURE), ("ni-", Regime.NI), ("ie-", Regime.IRELAND), ("sc-", Regime.SCOTLAND))
_PLACES = {
    "england": Regime.TREASURE,
    "wales": Regime.TREASURE,
    "northern-ireland": Regime.TREASURE,
    "ireland": Regime.IRELAND,
    "scotland": Regime.SCOTLAND,
}


def regimes_of(each: ObjectFacts) -> list[Regime]:
    """Under which laws it may have to be reported: by the duties found, else by the place."""
    found = {regime for duty in each.duties for start, regime in _RULES if duty.rule.startswith(start)}
    if any(duty.rule.endswith("wreck") or duty.rule == "ie-wreck-old" for duty in each.duties):
        found.add(Regime.WRECK)
    if not found:
        found.add(_PLACES.get(each.find.site.jurisdiction, Regime.OTHER))
    return [regime for regime in Regime if regime in found]


def missing(facts: CaseFacts) -> list[Missing]:
    """What the officer will ask for and the record does not say, what the law asks first; each thing once."""
    lacking: dict[str, tuple[Regime, Basis, list[str]]] = {}
    for each in facts.objects:
        for regime in regimes_of(each):
            for ask in ASKS[regime]:
                if not ask.given(each):
                    _regime, _basis, numbers = lacking.setdefault(ask.what, (regime, ask.basis, []))
                    if each.find.number not in numbers:
                        numbers.append(each.find.number)
    rows = [
        Missing(_(what), regime, basis, tuple(numbers)) for what, (regime, basis, numbers) in lacking.items()
    ]
    rows += _of_the_case(facts)
    return sorted(rows, key=lambda row: list(Basis).index(row.basis))


def _of_the_case(facts: CaseFacts) -> Sequence[Missing]:
    """What the report as a whole lacks: an address to write back to, and sign-outs that give the hours."""
    rows = []
    regimes = {regime for each in facts.objects for regime in regimes_of(each)}
    if not facts.club.address:
        law = Regime.IRELAND in regimes
        regime = Regime.IRELAND if law else next(iter(sorted(regimes)), Regime.OTHER)
        basis = Basis.LAW if law else Basis.GUIDANCE
        rows.append(Missing(_("an address to write to (enter it in the club's settings)"), regime, basis, ()))
    quiet = tuple(effort.code for effort in facts.efforts if effort.people and not effort.hours)
    if quiet:
        rows.append(
            Missing(_("the hours searched (nobody has signed out yet)"), Regime.OTHER, Basis.PRACTICE, quiet)
        )
    return rows
