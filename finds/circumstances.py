"""The quick questions on the find form: tick what applies, or 'none of these'; they answer many of the law's."""

from collections.abc import Iterable
from typing import Any

NONE = "none"

# fact of law.facts.FindFacts: the words on the form
TICKS: dict[str, str] = {
    "human_remains": "Bone or ashes that may be human",
    "ordnance": "Ammunition, a shell, a mine or a firearm",
    "military_aircraft": "Part of a crashed aircraft",
    "from_vessel": "Part or cargo of a ship",
    "container": "In a pot, tin, purse or box",
    "hidden": "Signs that it was hidden",
    "others_nearby": "Other objects close by, now or before",
    "pierced_or_mounted": "A coin that was pierced, mounted or gilded",
}
CHOICES = [*TICKS.items(), (NONE, "None of these")]


def answers_from(ticked: Iterable[str]) -> dict[str, Any]:
    """The facts that the ticks say: yes for each tick, no for all of them after 'none of these'."""
    ticks = set(ticked)
    if NONE in ticks:
        return dict.fromkeys(TICKS, "no")
    return dict.fromkeys((name for name in TICKS if name in ticks), "yes")


def ticks_from(facts: dict[str, Any]) -> list[str]:
    """The ticks to show for kept facts."""
    ticked = [name for name in TICKS if facts.get(name) == "yes"]
    if not ticked and all(facts.get(name) == "no" for name in TICKS):
        return [NONE]
    return ticked
