"""The quick questions on the find form: tick what applies, or 'none of these'; they answer many of the law's."""

from collections.abc import Iterable
from typing import Any

from tongue import noop

NONE = "none"

# fact of law.facts.FindFacts: the words on the form
TICKS: dict[str, str] = {
    "human_remains": noop("Bone or ashes that may be human"),
    "ordnance": noop("Ammunition, a shell, a mine or a firearm"),
    "military_aircraft": noop("Part of a crashed aircraft"),
    "from_vessel": noop("Part or cargo of a ship"),
    "container": noop("In a pot, tin, purse or box"),
    "hidden": noop("Signs that it was hidden"),
    "others_nearby": noop("Other objects close by, now or before"),
    "pierced_or_mounted": noop("A coin that was pierced, mounted or gilded"),
}
NO_PRECIOUS: dict[str, Any] = {"gold": "no", "silver": "no"}  # what the tick "no gold or silver on it" says
CHOICES = [*TICKS.items(), (NONE, noop("None of these"))]


def answers_from(ticked: Iterable[str]) -> dict[str, Any]:
    """The facts that the ticks say: yes for each tick, no for all of them after 'none of these'."""
    ticks = set(ticked)
    if NONE in ticks:
        return dict.fromkeys(TICKS, "no")
    return dict.fromkeys((name for name in TICKS if name in ticks), "yes")


def ticks_from(facts: dict[str, Any]) -> list[str]:
    """The ticks to show for kept facts."""
    if _all_no(facts):
        return [NONE]
    return [name for name in TICKS if facts.get(name) == "yes"]


def _all_no(facts: dict[str, Any]) -> bool:
    return all(facts.get(name) == "no" for name in TICKS)


def has_no_precious(facts: dict[str, Any]) -> bool:
    """Was the tick for no gold and no silver set, or both answered so?"""
    return facts.items() >= NO_PRECIOUS.items()


def facts_after(facts: dict[str, Any], ticked: Iterable[str], *, no_precious: bool) -> dict[str, Any]:
    """The kept `facts` after the form with its ticks was sent.

    A tick that was shown and taken away withdraws its answer; a single "no", given with the law's questions and
    not shown as a tick, stays.
    """
    withdrawn = set(TICKS if _all_no(facts) else ticks_from(facts))
    if has_no_precious(facts):
        withdrawn |= NO_PRECIOUS.keys()
    kept = {name: value for name, value in facts.items() if name not in withdrawn}
    return kept | answers_from(ticked) | (NO_PRECIOUS if no_precious else {})
