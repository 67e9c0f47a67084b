"""Which answers about a find have to stop everything, and as what: pure, and cautious. It never says what a thing is.

What counts, and why:

* bones that may be human, or goods laid with the dead: where goods lie, so may the dead;
* ammunition or a firearm;
* part of a military aircraft; part of a ship, or of a craft of the armed forces;
* a deposit in the ground: something in a container, signs that it was hidden, a hearth, wall, grave or other remain
  met while digging, or an object seen and left in the ground with others close by. What is still there is worth as
  much as the object, and can be lost within minutes.

"Other objects close by" alone does not stop the day: it is ticked for every scatter in the plough soil. It is screened,
and asks the law's questions. "Left together" (same find) does not either: it is mostly decided later, at a table.
Only a yes counts: "not known" is no reason to send people home, and "no" was said by somebody.
"""

from law.facts import FindFacts
from law.tri import Tri

# What an incident calls it (hunts.models.Incident.Kind)
REMAINS, ORDNANCE, DEPOSIT, WRECK, AIRCRAFT = "remains", "ordnance", "deposit", "wreck", "aircraft"

ANY_OF: dict[str, tuple[str, ...]] = {
    ORDNANCE: ("ordnance",),
    REMAINS: ("human_remains", "grave_goods"),
    AIRCRAFT: ("military_aircraft",),
    WRECK: ("from_vessel", "military_vessel"),
    DEPOSIT: ("container", "hidden", "remain_uncovered"),
}


def stops_of(facts: FindFacts) -> dict[str, tuple[str, ...]]:
    """The kinds of incident that these facts open, the most dangerous first, each with the facts that said so."""
    said = {kind: tuple(fact for fact in names if _yes(facts, fact)) for kind, names in ANY_OF.items()}
    if _yes(facts, "observed_only") and _yes(facts, "others_nearby"):
        said[DEPOSIT] += ("observed_only", "others_nearby")
    return {kind: names for kind, names in said.items() if names}


def _yes(facts: FindFacts, name: str) -> bool:
    return getattr(facts, name) is Tri.YES
