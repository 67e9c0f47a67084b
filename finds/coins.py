"""Does what was written of a coin fit how such coins were struck? Answers in words; warns, never blocks. Pure."""

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from finds.coin_table import Standard, named, silver_points
from finds.dates import range_words
from finds.weights import GRAIN_G
from tongue import figure
from tongue import say as _

HEAVIEST_USUAL_G = 60.0
"""From memory: the heaviest coin in general use here was the two-ounce copper of 1797, 56.7 g."""
THICKEST_SHARE = 0.2
"""Common practice: hardly a struck coin is thicker than a fifth of its width; that of 1797 is 5 mm at 41 mm."""
DENSEST = {"gold": 19.3, "silver": 10.5}
"""Grams per cubic centimetre of pure gold and silver, from memory; any other coin metal is lighter than silver."""
_PART = re.compile(r"\b(cut|half of|halved|fragments?|broken|clipped|quarter|incomplete|part|chip)\b", re.I)


@dataclass(frozen=True, slots=True)
class CoinFacts:
    """What the record says: words, years (None: not known), grams and count, mm, per cent of silver, metals."""

    name: str
    first: int | None = None
    last: int | None = None
    weight_g: Decimal | None = None
    count: int = 1
    diameter_mm: Decimal | None = None
    silver_percent: Decimal | None = None
    metals: frozenset[str] = frozenset()
    completeness: str = ""

    @property
    def each_g(self) -> float | None:
        return None if self.weight_g is None else float(self.weight_g) / max(self.count, 1)

    @property
    def is_part(self) -> bool:
        """Do the words say that the coin is not whole? Then it may weigh any less."""
        return _PART.search(f"{self.name} {self.completeness}") is not None


def coin_notes(facts: CoinFacts) -> tuple[str, ...]:
    """What does not fit, one sentence each with its figures; empty where all fits or nothing is known."""
    known = named(facts.name)
    if not known:
        return ()
    fitting = [standard for standard in known if standard.in_years(facts.first, facts.last)]
    if not fitting:
        return _date_note(known, facts)
    of_metal = [s for s in fitting if not s.metal or not facts.metals or s.metal in facts.metals]
    notes = [] if of_metal else [_metal_note(fitting, facts)]
    judged = of_metal or fitting
    checks = (_weight_note(judged, facts), _diameter_note(judged, facts), _silver_note(judged, facts))
    return (*notes, *(note for note in checks if note))


def fitting_standards(facts: CoinFacts) -> list[Standard]:
    """The standards that name, years and metal allow."""
    fitting = [s for s in named(facts.name) if s.in_years(facts.first, facts.last)]
    return [s for s in fitting if not s.metal or not facts.metals or s.metal in facts.metals] or fitting


def grains_question(facts: CoinFacts, *, is_coin: bool) -> str:
    """The question whether the number on the scale was grains; empty where grams are as likely.

    Asked when the weight is more than such a coin can have and the same number of grains is one it can have.
    """
    if facts.weight_g is None or facts.each_g is None:
        return ""
    known = fitting_standards(facts)
    each, number = facts.each_g, figure(f"{facts.weight_g.normalize():f}")
    in_grains = float(facts.weight_g * GRAIN_G)
    if known:
        if each <= max(s.most_g for s in known) or not _fits(in_grains / max(facts.count, 1), known, facts):
            return ""
        why = _("than %(a)s weighs (%(struck)s)") % {"a": _a(known), "struck": _struck(known)}
    else:
        limit = _heaviest(facts) if is_coin else math.inf
        if each <= limit:
            return ""
        why = (
            _("than a coin of that size weighs (at most about %(limit)s g)")
            if facts.diameter_mm
            else _("than a coin weighs (at most about %(limit)s g)")
        ) % {"limit": figure(f"{limit:.0f}")}
    many = _(" for %(facts_count)s coins") % {"facts_count": facts.count} if facts.count > 1 else ""
    return _(
        "%(number)s g%(many)s is far more %(why)s. %(number)s grains is %(in_grains)s g. Did you "
        "weigh in grains?"
    ) % {"number": number, "many": many, "why": why, "in_grains": figure(f"{in_grains:.2f}")}


def _fits(each_g: float, known: Sequence[Standard], facts: CoinFacts) -> bool:
    return any((facts.is_part or each_g >= s.least_g) and each_g <= s.most_g for s in known)


def _heaviest(facts: CoinFacts) -> float:
    """The most a coin can weigh: by its size where that was measured, and never above the heaviest in use."""
    if facts.diameter_mm is None:
        return HEAVIEST_USUAL_G
    density = DENSEST["gold"] if not facts.metals or "gold" in facts.metals else DENSEST["silver"]
    volume_mm3 = math.pi / 4 * float(facts.diameter_mm) ** 3 * THICKEST_SHARE
    return min(HEAVIEST_USUAL_G, volume_mm3 * density / 1000)


def _weight_note(known: Sequence[Standard], facts: CoinFacts) -> str:
    each = facts.each_g
    if each is None or _fits(each, known, facts):
        return ""
    weight = (
        _("%(grams)s g") % {"grams": figure(f"{each:.2f}")}
        if facts.count == 1
        else _("%(each)s g each (%(facts_weight_g)s g for %(facts_count)s)")
        % {"each": figure(f"{each:.2f}"), "facts_weight_g": facts.weight_g, "facts_count": facts.count}
    )
    coin, why = _opening(_a(known)), _(known[0].tolerance.why)
    return _("%(coin)s weighed %(struck)s when struck; %(weight)s is outside %(spans)s (%(why)s).") % {
        "coin": coin,
        "struck": _struck(known),
        "weight": weight,
        "spans": _spans(known, facts),
        "why": why,
    }


def _spans(known: Sequence[Standard], facts: CoinFacts) -> str:
    """The weights that are let pass, in words: '0.42 to 0.48 g and 8.50 to 9.64 g'."""
    merged: list[tuple[float, float]] = []
    for least, most in sorted((0.0 if facts.is_part else s.least_g, s.most_g) for s in known):
        if merged and least <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(most, merged[-1][1]))
        else:
            merged.append((least, most))
    said = [
        (_("%(least)s to %(most)s g") if a else _("up to %(most)s g"))
        % {"least": figure(f"{a:.2f}"), "most": figure(f"{b:.2f}")}
        for a, b in merged
    ]
    return (
        said[0]
        if len(said) == 1
        else _("%(first)s and %(last)s") % {"first": ", ".join(said[:-1]), "last": said[-1]}
    )


def _diameter_note(known: Sequence[Standard], facts: CoinFacts) -> str:
    sizes = [(s.mm, s.tolerance.wide) for s in known if s.mm]
    if facts.diameter_mm is None or len(sizes) < len(known):
        return ""
    least, most = min(mm[0] for mm, _rest in sizes), max(mm[1] for mm, _rest in sizes)
    wide, size = max(wide for _rest, wide in sizes), float(facts.diameter_mm)
    if size <= most * (1 + wide) and (facts.is_part or size >= least * (1 - wide)):
        return ""
    measures = (
        figure(f"{least:g}")
        if least == most
        else _("%(least)s to %(most)s") % {"least": figure(f"{least:g}"), "most": figure(f"{most:g}")}
    )
    return _("%(opening)s measured %(measures)s mm across; %(size)s mm is not near that.") % {
        "opening": _opening(_a(known)),
        "measures": measures,
        "size": figure(f"{size:g}"),
    }


def _silver_note(known: Sequence[Standard], facts: CoinFacts) -> str:
    shares = [s.silver for s in known if s.silver is not None]
    if facts.silver_percent is None or len(shares) < len(known):
        return ""
    measured, points = float(facts.silver_percent), silver_points()
    if any(least - points <= measured <= most + points for least, most in shares):
        return ""
    least, most = min(s[0] for s in shares), max(s[1] for s in shares)
    share = (
        f"{figure(f'{least:g}')} %"
        if least == most
        else _("%(least)s to %(most)s %%") % {"least": figure(f"{least:g}"), "most": figure(f"{most:g}")}
    )
    return _(
        "%(opening)s was struck with %(share)s silver; %(measured)s %% does not fit. Look at the "
        "date, or have it analysed again."
    ) % {"opening": _opening(_a(known)), "share": share, "measured": figure(f"{measured:g}")}


def _metal_note(known: Sequence[Standard], facts: CoinFacts) -> str:
    made_of = _any_of([_(metal) for metal in sorted({s.metal for s in known})])
    said = ", ".join(_(metal) for metal in sorted(facts.metals))
    return _(
        "%(opening)s was struck in %(made_of)s; this one is recorded as %(said)s. A plated or cast "
        "copy of the time looks so: have it looked at."
    ) % {"opening": _opening(_a(known)), "made_of": made_of, "said": said}


def _date_note(known: Sequence[Standard], facts: CoinFacts) -> tuple[str, ...]:
    spans = [s.struck for s in known if s.struck]
    if not spans:
        return ()
    first, last = min(span[0] for span in spans), max(span[1] for span in spans)
    too_late = facts.first is not None and facts.first > last
    too_early = facts.last is not None and facts.last < first
    if not (too_late or too_early):
        return ()
    return (
        _(
            "%(opening)s were struck %(range_words)s; the record says %(value)s. Look again at the date "
            "or at what the coin is."
        )
        % {
            "opening": _opening(_(known[0].plural)),
            "range_words": range_words(first, last),
            "value": range_words(facts.first, facts.last),
        },
    )


def _a(known: Sequence[Standard]) -> str:
    """'a penny of 1351 to 1411'; with several kinds, the first's years to the last's."""
    titles = list(dict.fromkeys(s.title for s in known))
    years = range_words(min(s.first for s in known), max(s.last for s in known))
    listed = titles[0]
    said = _("an %(listed)s of %(years)s") if listed[0] in "aeiou" else _("a %(listed)s of %(years)s")
    return said % {"listed": _any_of([_(title) for title in titles]), "years": years}


def _opening(words: str) -> str:
    """The words as a sentence begins; str.capitalize would make 'AD' small."""
    return words[0].upper() + words[1:]


def _any_of(words: list[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return _("%(first)s or %(last)s") % {"first": ", ".join(words[:-1]), "last": words[-1]}


def _struck(known: Iterable[Standard]) -> str:
    pairs = [s.grams for s in known]
    least, most = min(p[0] for p in pairs), max(p[1] for p in pairs)
    return (
        _("%(grams)s g") % {"grams": figure(f"{least:.2f}")}
        if f"{least:.2f}" == f"{most:.2f}"
        else _("%(least)s to %(most)s g") % {"least": figure(f"{least:.2f}"), "most": figure(f"{most:.2f}")}
    )
