"""The words of the drills, and what differs from place to place: emergency numbers and whom one tells.

Sources: the Code of Practice for Responsible Metal Detecting in England and Wales (2017) for ordnance and
deposits; Burial Act 1857 s.25 for remains; Merchant Shipping Act 1995 s.236 for wreck; Protection of Military
Remains Act 1986 ss.1-2 for aircraft; elsewhere the law packs (law/packs), which name theirs. Distances and
watch-keeping are common practice. 999 and 112 (Ireland, United Kingdom), 112 (Nordic countries, Netherlands) and 911
(United States) are the public emergency numbers; every other number is the club's own contact. Local law and the
people who are called decide; nothing here says what a thing is.
"""

from dataclasses import dataclass, fields

from hunts.drill_places import Place
from hunts.models import Incident
from people.models import Contact
from tongue import noop, say

K, C = Incident.Kind, Contact.Kind


@dataclass(frozen=True, slots=True)
class Drill:
    """One drill: `key` is the incident kind, `steps` in order, `call` the kinds of the club's own contacts.

    Words in braces are filled in from the `Place` whose law holds.
    """

    key: str
    title: str
    at_once: str
    steps: tuple[str, ...]
    call: tuple[str, ...]
    law: str = ""

    def at(self, place: Place) -> "Drill":
        """The drill with the words of `place`."""
        words = {each.name: say(getattr(place, each.name)) for each in fields(place)}
        steps = tuple(say(step).format(**words) for step in self.steps)
        return Drill(
            self.key,
            say(self.title),
            say(self.at_once).format(**words),
            steps,
            self.call,
            say(self.law).format(**words),
        )


TELL_FEW = noop("Tell the leader and the landholder, and nobody else. No posts, no photographs to friends.")

WORDS: tuple[Drill, ...] = (
    Drill(
        K.REMAINS,
        noop("Bones that may be human"),
        noop("Stop digging. Do not lift or clean anything."),
        (
            noop("Leave everything where it lies and lay the soil or a sheet gently over it."),
            noop("Keep people away and note the place; show it to nobody who does not need it."),
            "{remains}",
            noop("Tell the leader, who stops the hunt and tells the landholder."),
            noop("Wait for those you called. They decide what happens next, not the club."),
        ),
        (C.POLICE, C.CORONER, C.LAND_MANAGER),
        noop("Disturbing a burial needs leave from the authorities, whatever its age."),
    ),
    Drill(
        K.ORDNANCE,
        noop("Anything that may explode"),
        noop("Do not touch it, move it or dig further. Call {emergency}."),
        (
            noop(
                "Walk away the way you came. Take everybody at least 100 m away, behind cover if there is any."
            ),
            noop("Do not use a radio or phone close to it; call from a distance."),
            noop("Mark the way to it with something you carry, and note the place."),
            "{ordnance}",
            noop(
                "Tell the leader, who stops the hunt and tells the landholder. Keep livestock and walkers away."
            ),
            noop("Never carry it to the gate, into a vehicle or to a police station."),
        ),
        (C.POLICE, C.COASTGUARD),
        noop(
            "Corroded ordnance can be as dangerous as new. Bomb disposal, whom the police send, decides when it is "
            "safe."
        ),
    ),
    Drill(
        K.DEPOSIT,
        noop("Something left in the ground as it was put there"),
        noop("Stop. Do not lift any more; what lies beside it is worth as much as the object."),
        (
            noop("Photograph the hole as it is, with a scale and with landmarks behind it."),
            noop("Log the place with its accuracy and look that it was saved."),
            noop("Cover it, fill gently and mark it so that only you would see."),
            noop("Call {deposit} now; out of hours e-mail the time, the place and a photograph."),
            TELL_FEW,
            noop("Agree who keeps watch until an archaeologist comes."),
        ),
        (C.FINDS_OFFICER, C.MUSEUM, C.CORONER, C.LAND_MANAGER),
        noop(
            "Objects deposited together may have to be reported within a set time; the record is screened for that."
        ),
    ),
    Drill(
        K.WRECK,
        noop("Part of a ship, its gear or its cargo"),
        noop("Stop. Leave what lies there as it lies, and watch the tide."),
        (
            noop(
                "If there may be ammunition, fuel or human remains: keep everybody away and call {emergency}."
            ),
            noop("On the shore or in mud, leave in good time for the tide, whatever lies uncovered."),
            noop(
                "Note the place, the day and the time; photograph it with a scale, and any marks or letters."
            ),
            noop("Is a piece in your hand already? Keep it wet, do not clean it, and say so when you call."),
            noop("Call {wreck}. It belongs to somebody, or may: nothing is sold, shared or given away."),
            TELL_FEW,
        ),
        (C.RECEIVER, C.COASTGUARD, C.LAND_MANAGER),
        noop(
            "Who finds or takes wreck has to report it to an official, in most places whatever its age and value."
        ),
    ),
    Drill(
        K.AIRCRAFT,
        noop("Part of a crashed aircraft"),
        noop("Stop digging. Leave every part where it lies."),
        (
            noop(
                "Do not dig on to find out what it is; where it is protected, that alone may be an offence."
            ),
            noop(
                "If there may be ammunition, fuel or human remains: keep everybody away and call {emergency}."
            ),
            noop("Do not burn, break or breathe its dust; wash your hands before you eat."),
            noop("Note the place with its accuracy. Do not publish it."),
            noop("Call {aircraft}."),
            TELL_FEW,
        ),
        (C.MILITARY, C.POLICE, C.LAND_MANAGER),
        noop(
            "Remains of military aircraft may be protected by law wherever they crashed, and people may lie in them."
        ),
    ),
    Drill(
        K.SERVICES,
        noop("Buried service, pipe or cable"),
        noop("Stop at warning tape, tile, pipe or cable. Do not touch it."),
        (
            noop("Get everybody away from the hole; no smoking, no engine and no phone beside it."),
            noop(
                "If you smell gas, hear a hiss or see sparks, go upwind and call {emergency} from a distance."
            ),
            noop("Read the name and number on the nearest marker post or manhole and call that operator."),
            noop(
                "Tell the leader and the landholder. Leave the hole open and watched until the operator has seen it."
            ),
        ),
        (C.POLICE,),
        noop("Even a scratch to a coating can fail later, so report every strike."),
    ),
    Drill(
        K.INJURY,
        noop("Somebody is hurt or ill"),
        noop("Call {emergency}. Say the grid reference on the emergency card first."),
        (
            noop("Make the place safe before you go to them: livestock, vehicles, tide, lightning."),
            noop("Send one person to the gate to guide the ambulance in."),
            noop("Keep them warm and do not leave them alone."),
            noop(
                "For a cut from the ground: wash it, cover it, and ask a doctor about tetanus the same day."
            ),
            noop("Tell the leader; the emergency contact is on the roll call today."),
        ),
        (),
        noop(
            "After lightning within 30 seconds of its thunder, shelter until 30 minutes after the last thunder."
        ),
    ),
)
