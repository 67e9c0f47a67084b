"""The usual hazards of a day's detecting, as a list that a leader adapts to the ground. Pure.

Source: hazards named in published risk assessments of detecting clubs and associations; the controls are the
usual ones, and likelihood and severity only a start (common practice, from memory). The leader has walked the
ground and decides; local law and the landholder's rules go first.
"""

from dataclasses import dataclass

from tongue import noop
from tongue import say as _

LEAST, MOST = 1, 5


@dataclass(frozen=True, slots=True)
class Hazard:
    """One hazard with its usual control; the pairs are likelihood and severity before and after it."""

    code: str
    words: str
    before: tuple[int, int]
    control: str
    after: tuple[int, int]
    owner: str = noop("Leader")


HAZARDS: tuple[Hazard, ...] = (
    Hazard(
        "ground",
        noop("Uneven ground, old holes, ruts: trips and falls"),
        (4, 2),
        noop("Boots with ankle support; walk round first; fill every hole at once"),
        (2, 2),
        noop("Everybody"),
    ),
    Hazard(
        "stock",
        noop("Livestock: cows with calves, bulls, ewes with lambs"),
        (3, 4),
        noop(
            "Ask what is in the field; never search among cows with calves; leave by the nearest way, dogs stay at home"
        ),
        (1, 4),
    ),
    Hazard(
        "vehicles",
        noop("Vehicles moving and reversing where people stand"),
        (3, 4),
        noop("Park where shown; a banksman when reversing; walking pace; keep gateways clear"),
        (1, 4),
        noop("Gate steward"),
    ),
    Hazard(
        "slurry",
        noop("Slurry pits, ditches, ponds, quarries"),
        (2, 5),
        noop("Mark as no-go and show at the briefing; nobody within 5 m of a slurry store"),
        (1, 5),
    ),
    Hazard(
        "tide",
        noop("Tides, soft sand, being cut off"),
        (3, 5),
        noop(
            "Tide times read out; off the sand two hours before high water; never alone; coastguard number at hand"
        ),
        (1, 5),
    ),
    Hazard(
        "lines",
        noop("Overhead power lines"),
        (2, 5),
        noop("No raised poles, masts or shafts near them; keep vehicles' loads low"),
        (1, 5),
        noop("Everybody"),
    ),
    Hazard(
        "services",
        noop("Buried cables, gas and water pipes"),
        (2, 5),
        noop("Ask the landholder; stop at tape, pipe, tile or cable and tell the leader"),
        (1, 5),
        noop("Everybody"),
    ),
    Hazard(
        "wire",
        noop("Barbed and electric wire"),
        (3, 2),
        noop("Use gates and stiles; never step over wire"),
        (1, 2),
        noop("Everybody"),
    ),
    Hazard(
        "sharps",
        noop("Glass, sharp metal, needles"),
        (3, 3),
        noop("Gloves; loosen with a tool, not the hand; needles into the sharps box, never with the finds"),
        (1, 3),
        noop("Everybody"),
    ),
    Hazard(
        "lead",
        noop("Lead and corrosion dust"),
        (3, 2),
        noop("Gloves; no eating with soiled hands; wash before food; children do not handle lead"),
        (1, 2),
        noop("Everybody"),
    ),
    Hazard(
        "ordnance",
        noop("Ordnance: shells, bombs, grenades, live rounds"),
        (2, 5),
        noop(
            "Briefing on the drill: do not touch, mark, withdraw at least 100 m, call the police or coastguard"
        ),
        (1, 5),
    ),
    Hazard(
        "soil",
        noop("Infection from soil and water: tetanus, leptospirosis"),
        (2, 4),
        noop("Tetanus protection up to date; cover cuts; wash hands; no still water on broken skin"),
        (1, 4),
        noop("Everybody"),
    ),
    Hazard(
        "ticks",
        noop("Ticks"),
        (3, 3),
        noop("Long sleeves and trousers in socks; look over skin in the evening; remove at once"),
        (2, 2),
        noop("Everybody"),
    ),
    Hazard(
        "sprays",
        noop("Sprays and treated seed"),
        (2, 3),
        noop("Ask when the field was sprayed or drilled; keep off until the farm says so"),
        (1, 3),
    ),
    Hazard(
        "stings",
        noop("Bees, wasps and other stings"),
        (2, 4),
        noop("Ask who is allergic and where their pen is; keep away from nests and hives"),
        (1, 4),
        noop("First aider"),
    ),
    Hazard(
        "shooting",
        noop("Shooting on this land or next to it"),
        (2, 5),
        noop("Ask the sporting tenant for dates; no search on a shoot day"),
        (1, 5),
    ),
    Hazard(
        "weather",
        noop("Sun, heat, cold, rain"),
        (4, 3),
        noop("Water, hats, layers; shorten the day in great heat or cold; shelter known to all"),
        (2, 2),
        noop("Everybody"),
    ),
    Hazard(
        "lightning",
        noop("Lightning"),
        (2, 5),
        noop(
            "30 seconds or less from flash to bang: shelter at once, 30 minutes after the last thunder before going out"
        ),
        (1, 5),
    ),
    Hazard(
        "alone",
        noop("People out of sight or alone"),
        (3, 4),
        noop("Roll call in and out; pairs out of sight of others; stop signal and finish time read out"),
        (1, 4),
    ),
    Hazard(
        "lifting",
        noop("Lifting and carrying heavy iron"),
        (2, 3),
        noop("Two people, or leave it and tell the leader; never carry what may be ordnance"),
        (1, 3),
        noop("Everybody"),
    ),
    Hazard(
        "trespass",
        noop("Strangers, trespassers, threats"),
        (2, 3),
        noop(
            "Do not confront; note the time and vehicle; tell the leader, who rings the landholder or police"
        ),
        (1, 3),
    ),
)
BY_CODE = {hazard.code: hazard for hazard in HAZARDS}


def score(likelihood: int, severity: int) -> int:
    """Likelihood times severity, 1 to 25. Raises ValueError for either outside 1 to 5."""
    for name, value in ((_("Likelihood"), likelihood), (_("Severity"), severity)):
        if not LEAST <= value <= MOST:
            raise ValueError(
                _("%(name)s %(value)s is not on the scale; give %(least)s to %(most)s.")
                % {"name": name, "value": value, "least": LEAST, "most": MOST}
            )
    return likelihood * severity


def band(points: int) -> tuple[str, str]:
    """Status and word for a score: the bands are common practice, from memory."""
    if points >= 15:
        return "late", _("High")
    if points >= 8:
        return "ask", _("Medium")
    return "open", _("Low")
