"""What speaks for or against a pair, in words: kept as a code with its figures, said in the reader's language; pure."""

from collections.abc import Callable, Mapping
from typing import Any

from finds.dates import range_words
from tongue import all_of, figure, noop, say_many
from tongue import say as _

Values = Mapping[str, Any]


def reason_words(kept: Values) -> str:
    """A reason as a pair keeps it, in words; one of an older version has its words in it and keeps them."""
    values = kept.get("values") or {}
    code = kept.get("code", "")
    if code in WORKED_OUT:
        return WORKED_OUT[code](values)
    return _(PLAIN[code]) % values if code in PLAIN else str(kept.get("words", ""))


PLAIN = {
    "place unknown": noop("How far apart they lay is not known: a place is not recorded."),
    "same kind": noop("Both are recorded as “%(what)s”."),
    "coins": noop("Both are recorded as coins or tokens."),
    "words shared": noop("Both records speak of “%(words)s”."),
    "other kind": noop("They are recorded as different objects: “%(first)s”, “%(second)s”."),
    "no dates": noop("One or both have no date yet."),
    "old": noop("Both may be %(years)s or more years old, when company can count in law."),
    "other materials": noop("They are of different materials."),
    "hunt": noop("Both came up on the same hunt, %(hunt)s."),
    "finder": noop("Both were found by %(finder)s."),
    "proposed": noop("%(finder)s, who found both, thinks that they belong together."),
}
"""Codes whose sentence takes its values as they are kept."""


def _near(values: Values) -> str:
    return _("%(apart)s apart; %(known)s, so up to %(reach)s m may be one spot.") % {
        **_places(values),
        "reach": figure(f"{values['reach_m']:.1f}"),
    }


def _not_one_spot(values: Values) -> str:
    return _("%(apart)s apart; %(known)s, so they were not in one spot.") % _places(values)


def _places(values: Values) -> dict[str, str]:
    apart_m = values["apart_m"]
    apart = _("less than 1 m") if apart_m < 1 else f"{figure(f'{apart_m:.1f}')} m"
    known = _("the places are known to %(first)s and %(second)s") % {
        "first": _accuracy(values["first_m"], values["taken_m"]),
        "second": _accuracy(values["second_m"], values["taken_m"]),
    }
    return {"apart": apart, "known": known}


def _accuracy(accuracy_m: float | None, taken_m: float) -> str:
    if accuracy_m is None:
        return _("%(accuracy)s m (taken, because none is recorded)") % {"accuracy": figure(f"{taken_m:g}")}
    return f"{figure(f'{accuracy_m:.1f}' if accuracy_m < 10 else f'{accuracy_m:.0f}')} m"


def _both_dates(values: Values) -> dict[str, str]:
    return {
        "both": all_of(dict.fromkeys(range_words(*years) for years in (values["first"], values["second"])))
    }


def _days(values: Values) -> str:
    days = values["days"]
    if days == 0:
        return _("They were found on the same day.")
    return say_many("They were found one day apart.", "They were found %(days)s days apart.", days) % {
        "days": days
    }


WORKED_OUT: dict[str, Callable[[Values], str]] = {
    "near": _near,
    "not one spot": _not_one_spot,
    "dates overlap": lambda values: _("Their dates overlap: %(both)s.") % _both_dates(values),
    "dates apart": lambda values: _("Their dates do not overlap: %(both)s.") % _both_dates(values),
    "materials": lambda values: (
        _("Both are of %(shared)s.")
        % {"shared": all_of(_(name.capitalize()).lower() for name in values["materials"])}
    ),
    "days": _days,
}
"""Codes whose figures are worded first."""
