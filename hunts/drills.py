"""The drills: stop, what to do, whom to call. Words that hold in every part of these islands.

Sources: the Code of Practice for Responsible Metal Detecting in England and Wales (2017) for ordnance and
deposits; Burial Act 1857 s.25 for remains; distances and watch-keeping are common practice. Local law and the
people who are called decide; nothing here says what a thing is.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from hunts.models import Incident
from people.models import Contact

K, C = Incident.Kind, Contact.Kind


@dataclass(frozen=True, slots=True)
class Drill:
    """One drill: `key` is the incident kind, `steps` in order, `call` the kinds of the club's own contacts."""

    key: str
    title: str
    at_once: str
    steps: tuple[str, ...]
    call: tuple[str, ...]
    law: str


@dataclass(frozen=True, slots=True)
class DrillShown:
    """A drill with the club's own contacts to call."""

    drill: Drill
    contacts: tuple[Contact, ...]


DRILLS: tuple[Drill, ...] = (
    Drill(
        K.REMAINS,
        "Bones that may be human",
        "Stop digging. Do not lift or clean anything.",
        (
            "Leave everything where it lies and lay the soil or a sheet gently over it.",
            "Keep people away and note the place; show it to nobody who does not need it.",
            "Call the police: 101, or 999 (112 works too) if you think it is recent. In Ireland call 999 or 112.",
            "Tell the leader, who tells the landholder.",
            "Wait for the police. They decide what happens next, not the club.",
        ),
        (C.POLICE, C.CORONER),
        "Disturbing a burial needs a licence or other authority, whatever its age.",
    ),
    Drill(
        K.ORDNANCE,
        "Anything that may explode",
        "Do not touch it, move it or dig further. Call 999 or 112.",
        (
            "Walk away the way you came. Take everybody at least 100 m away, behind cover if there is any.",
            "Do not use a radio or phone close to it; call from a distance.",
            "Mark the way to it with something you carry, and note the place.",
            "Call 999 (112 works too): the police inland, the coastguard on a beach or below high water.",
            "Tell the leader, who stops the hunt and tells the landholder. Keep livestock and walkers away.",
            "Never carry it to the gate, into a vehicle or to a police station.",
        ),
        (C.POLICE, C.COASTGUARD),
        "Corroded ordnance can be as dangerous as new. Only bomb disposal decides that it is safe.",
    ),
    Drill(
        K.DEPOSIT,
        "Several objects lying as they were left",
        "Stop. Do not lift any more; what lies beside it is worth as much as the object.",
        (
            "Photograph the hole as it is, with a scale and with landmarks behind it.",
            "Log the place with its accuracy and look that it was saved.",
            "Cover it, fill gently and mark it so that only you would see.",
            "Call the finds officer or the museum now; out of hours e-mail the time, the place and a photograph.",
            "Tell the leader and the landholder, and nobody else. No posts, no photographs to friends.",
            "Agree who keeps watch until an archaeologist comes.",
        ),
        (C.FINDS_OFFICER, C.MUSEUM, C.CORONER),
        "Objects deposited together may have to be reported within a set time; the record is screened for that.",
    ),
    Drill(
        K.SERVICES,
        "Buried service, pipe or cable",
        "Stop at warning tape, tile, pipe or cable. Do not touch it.",
        (
            "Get everybody away from the hole; no smoking, no engine and no phone beside it.",
            "If you smell gas, hear a hiss or see sparks, go upwind and call 999 or 112 from a distance.",
            "Read the name and number on the nearest marker post or manhole and call that operator.",
            "Tell the leader and the landholder. Leave the hole open and watched until the operator has seen it.",
        ),
        (C.POLICE,),
        "Even a scratch to a coating can fail later, so report every strike.",
    ),
    Drill(
        K.INJURY,
        "Somebody is hurt or ill",
        "Call 999 or 112. Say the grid reference on the emergency card first.",
        (
            "Make the place safe before you go to them: livestock, vehicles, tide, lightning.",
            "Send one person to the gate to guide the ambulance in.",
            "Keep them warm and do not leave them alone.",
            "For a cut from the ground: wash it, cover it, and ask a doctor about tetanus the same day.",
            "Tell the leader; the emergency contact is on the roll call today.",
        ),
        (),
        "After lightning within 30 seconds of its thunder, shelter until 30 minutes after the last thunder.",
    ),
)
WITH_DRILL = frozenset(drill.key for drill in DRILLS)


def shown(contacts: Iterable[Contact]) -> list[DrillShown]:
    """Every drill with the contacts the club entered for it."""
    rows = list(contacts)
    return [DrillShown(drill, tuple(row for row in rows if row.kind in drill.call)) for drill in DRILLS]
