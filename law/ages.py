"""Ages and years compared with a line in the law, when only part of the date is known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from law.facts import FindFacts, astronomical
from law.tri import Tri


@dataclass(frozen=True, slots=True)
class Made:
    """When a thing came about (or a ship was lost): an exact day, or a first and last year, each may be open.

    Years here are on a scale with a year 0. `exact` is in the Gregorian calendar.
    """

    exact: date | None
    first: int | None
    last: int | None


def made(facts: FindFacts) -> Made:
    return _span(facts.made_on, facts.made_from, facts.made_to)


def vessel_lost(facts: FindFacts) -> Made:
    return _span(facts.vessel_lost_on, facts.vessel_lost_from, facts.vessel_lost_to)


def _span(exact: date | None, first: int | None, last: int | None) -> Made:
    if exact is not None:
        return Made(exact, exact.year, exact.year)
    return Made(
        None,
        None if first is None else astronomical(first),
        None if last is None else astronomical(last),
    )


def birthday(day: date, years: int) -> date:
    """The day a thing made on `day` becomes `years` old.

    A 29 February falls on 28 February in a common year: the earlier day, because an object that may be old
    enough is to be reported.
    """
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return day.replace(year=day.year + years, day=28)


def at_least_years(span: Made, years: int, found: date | None, *, pad: int = 0) -> Tri:
    """Was it at least so many years old when found? Year-only dates are widened by `pad` years at each end.

    The pad covers the English year that began on 25 March before 1752 and the eleven days dropped that year.
    """
    return _age_reached(span, years, found, pad, strict=False)


def more_than_years(span: Made, years: int, found: date | None, *, pad: int = 0) -> Tri:
    """Was it more than so many years old when found? Exactly that age is not more."""
    return _age_reached(span, years, found, pad, strict=True)


def _age_reached(span: Made, years: int, found: date | None, pad: int, *, strict: bool) -> Tri:
    if found is None:
        return Tri.UNKNOWN
    if span.exact is not None:
        reached = birthday(span.exact, years)
        return Tri.YES if (reached < found if strict else reached <= found) else Tri.NO
    # The last possible day is 31 December of the last year, the first is 1 January of the first.
    if span.last is not None and _year_end_reached(span.last + pad + years, found, strict=strict):
        return Tri.YES
    if span.first is not None and _year_start_ahead(span.first - pad + years, found, strict=strict):
        return Tri.NO
    return Tri.UNKNOWN


def _year_end_reached(year: int, found: date, *, strict: bool) -> bool:
    return year < found.year or (not strict and year == found.year and (found.month, found.day) == (12, 31))


def _year_start_ahead(year: int, found: date, *, strict: bool) -> bool:
    return year > found.year or (strict and year == found.year and (found.month, found.day) == (1, 1))


def up_to_year(span: Made, year: int) -> Tri:
    """Was it made in or before that year (historian's year)?"""
    line = astronomical(year)
    if span.last is not None and span.last <= line:
        return Tri.YES
    if span.first is not None and span.first > line:
        return Tri.NO
    return Tri.UNKNOWN


def prehistoric(stated: Tri, span: Made) -> Tri:
    """Iron Age or earlier? Years before AD 1 say yes and after AD 400 no; between them the region decides.

    Source: Treasure (Designation) Order 2002 art 2 for the words. The years of doubt (the Iron Age ended in
    AD 43 in the south of Britain, later elsewhere) are from memory, and only ever widen the doubt.
    """
    dated = Tri.UNKNOWN
    if span.last is not None and span.last < 1:
        dated = Tri.YES
    elif span.first is not None and span.first > 400:
        dated = Tri.NO
    if dated is Tri.UNKNOWN:
        return stated
    return dated if stated in (dated, Tri.UNKNOWN) else Tri.UNKNOWN
