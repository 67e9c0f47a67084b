"""The drills as a page shows them: words of the place's law, its clause, and whom to call as the club entered it.

One source for the drills page, an incident, a find, a case and the emergency card.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from hunts.drill_places import ANYWHERE, PLACES
from hunts.drill_words import WORDS, Drill
from hunts.models import Incident
from law.model import Rule
from law.pack import load_pack, pack_codes
from law.retold import all_retold, retold
from people.models import Club, Contact
from permissions.models import Site
from tongue import say

K = Incident.Kind
WITH_DRILL = frozenset(drill.key for drill in WORDS)

# Which rules of a law pack speak of what a drill is about; the pack says the clause and how it was checked.
RULES: dict[str, frozenset[str]] = {
    K.REMAINS: frozenset({"human-remains", "fl-burial", "wa-remains", "us-cultural-items"}),
    K.ORDNANCE: frozenset({"ordnance"}),
    K.DEPOSIT: frozenset({"se-stop", "no-stop", "dk-stop"}),
    K.WRECK: frozenset({"wreck", "ie-wreck-old", "se-wreck", "no-ship", "dk-wreck", "us-wreck"}),
    K.AIRCRAFT: frozenset({"military-aircraft", "us-sunken-craft"}),
}


@dataclass(frozen=True, slots=True)
class DrillShown:
    """A drill under one law, with the club's own contacts for that law, in the order they are to be called."""

    drill: Drill
    contacts: tuple[Contact, ...]
    emergency: str
    law: str
    place: str
    rules: tuple[Rule, ...]

    @property
    def dial(self) -> str:
        """The first emergency number, to dial; empty where none is known for sure."""
        first = self.emergency.split()[0].strip(",")
        return first if first.isdigit() else ""

    @property
    def first_kind(self) -> str:
        """The kind of contact to enter first."""
        return self.drill.call[0] if self.drill.call else ""


def emergency_of(jurisdictions: Iterable[str]) -> str:
    """The emergency number in words for sites under these laws; several where they differ."""
    numbers = dict.fromkeys(say(PLACES.get(code, ANYWHERE).emergency) for code in jurisdictions)
    return "; ".join(numbers) or say(ANYWHERE.emergency)


def drill_for(kind: str, jurisdiction: str, contacts: Iterable[Contact]) -> DrillShown | None:
    """The drill of an incident's kind under one law, or None where that kind has none."""
    return next((row for row in shown(contacts, jurisdiction) if row.drill.key == kind), None)


def shown(contacts: Iterable[Contact], jurisdiction: str) -> list[DrillShown]:
    """Every drill under one law, with the contacts that the club entered for that law and drill."""
    rows = [row for row in contacts if row.jurisdiction == jurisdiction]
    known = jurisdiction in pack_codes()
    pack = load_pack(jurisdiction) if known else None
    place = PLACES.get(jurisdiction, ANYWHERE)
    return [
        DrillShown(
            drill.at(place),
            tuple(row for kind in drill.call for row in rows if row.kind == kind),
            say(place.emergency),
            jurisdiction,
            retold(pack.title) if pack else jurisdiction,
            tuple(all_retold(rule) for rule in pack.rules if rule.id in RULES.get(drill.key, frozenset()))
            if pack
            else (),
        )
        for drill in WORDS
    ]


def home_law() -> str:
    """The law that the club's settings name."""
    return next(iter(Club.objects.values_list("jurisdiction", flat=True)), "england")


ON_CARD = (K.ORDNANCE, K.REMAINS, K.DEPOSIT, K.WRECK, K.AIRCRAFT)


def for_card(laws: Iterable[str]) -> dict[str, Any]:
    """What the emergency card of a hunt says under each law of its sites: number, drills, and everybody to phone."""
    codes = list(dict.fromkeys(laws))
    contacts = list(Contact.objects.filter(jurisdiction__in=codes))
    rows = [row for code in codes for row in shown(contacts, code)]
    return {
        "emergency": emergency_of(codes),
        "contacts": [contact for contact in contacts if contact.phone],
        "stops": [row for key in ON_CARD for row in rows if row.drill.key == key],
        "several": len(codes) > 1,
    }


def places_used() -> list[tuple[str, str]]:
    """Codes and names of the laws under which the club has sites."""
    used = Site.objects.values_list("jurisdiction", flat=True).order_by("jurisdiction").distinct()
    names = {code: retold(load_pack(code).title) for code in pack_codes()}
    return [(code, names.get(code, code)) for code in used]


def nobody_to_call() -> list[tuple[str, list[str]]]:
    """Laws under which the club has sites, by name, with the drills for which it has entered nobody."""
    contacts = list(Contact.objects.all())
    missing = []
    for code, name in places_used():
        bare = [row.drill.title for row in shown(contacts, code) if row.drill.call and not row.contacts]
        if bare:
            missing.append((name, bare))
    return missing
