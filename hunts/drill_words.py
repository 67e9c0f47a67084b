"""The words of the drills, and what differs from place to place: emergency numbers and whom one tells.

Sources: the Code of Practice for Responsible Metal Detecting in England and Wales (2017) for ordnance and
deposits; Burial Act 1857 s.25 for remains; Merchant Shipping Act 1995 s.236 for wreck; Protection of Military
Remains Act 1986 ss.1-2 for aircraft; elsewhere the law packs (law/packs), which name theirs. Distances and
watch-keeping are common practice. 999 and 112 (Ireland, United Kingdom), 112 (Nordic countries, Netherlands) and 911
(United States) are the public emergency numbers; every other number is the club's own contact. Local law and the
people who are called decide; nothing here says what a thing is.
"""

from dataclasses import dataclass, fields

from hunts.models import Incident
from people.models import Contact

K, C = Incident.Kind, Contact.Kind


@dataclass(frozen=True, slots=True)
class Place:
    """What a drill says differently under one law. `emergency` is the number to dial in danger."""

    emergency: str
    remains: str
    ordnance: str
    deposit: str
    wreck: str
    aircraft: str = "the police"


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
        words = {each.name: getattr(place, each.name) for each in fields(place)}
        steps = tuple(step.format(**words) for step in self.steps)
        return Drill(
            self.key, self.title, self.at_once.format(**words), steps, self.call, self.law.format(**words)
        )


UK = Place(
    emergency="999 or 112",
    remains="Call the police: 101, or 999 (112 works too) if you think it is recent.",
    ordnance="Call 999 (112 works too): the police inland, the coastguard on a beach or below high water.",
    deposit="the finds officer or the museum",
    wreck="the Receiver of Wreck",
    aircraft="the Ministry of Defence's casualty centre",
)
PLACES: dict[str, Place] = {
    "england": UK,
    "wales": UK,
    "northern-ireland": UK,
    "scotland": Place(
        UK.emergency,
        f"{UK.remains} There is no coroner in Scotland; the police tell whoever has to know.",
        UK.ordnance,
        "the treasure trove unit or the museum",
        UK.wreck,
        UK.aircraft,
    ),
    "isle-of-man": Place(
        "999",
        "Call the police; 999 if you think it is recent.",
        "Call 999: the police inland, the coastguard on a beach or below high water.",
        "the museum",
        "the Isle of Man receiver of wreck",
    ),
    "ireland": Place(
        "999 or 112",
        "Call the Garda: 999 or 112.",
        "Call 999 or 112: the Garda inland, the coastguard on a beach or below high water.",
        "the museum",
        "the receiver of wreck; for an old wreck (lost over 100 years ago) the Garda or the Minister too",
        "the Garda",
    ),
    "sweden": Place(
        "112",
        "Call the police; 112 in danger.",
        "Call 112 from a distance and do what the police say.",
        "the county board",
        "the county board, the police or the coast guard",
    ),
    "norway": Place(
        "112",
        "Call the police; 112 in danger.",
        "Call 112 from a distance and do what the police say.",
        "the county's heritage service",
        "the county's heritage service or the police",
    ),
    "denmark": Place(
        "112",
        "Call the police; 112 in danger.",
        "Call 112 from a distance and do what the police say.",
        "the local museum",
        "the State's culture agency",
    ),
    "netherlands": Place(
        "112",
        "Call the police; 112 in danger.",
        "Call 112 from a distance and do what the police say.",
        "the municipality or the heritage agency",
        "the municipality or the heritage agency",
    ),
    "us-federal": Place(
        "911",
        "Call law enforcement (911 in danger) and the manager of that land; on tribal land, the tribe.",
        "Call 911 from a distance and do what they say.",
        "the manager of that land",
        "the manager of that land and the State historic preservation office",
        "law enforcement, and the armed service whose it was",
    ),
    "us-washington": Place(
        "911",
        "Call the county coroner or medical examiner and local law enforcement (911 in danger): both.",
        "Call 911 from a distance and do what they say.",
        "the State's archaeology director",
        "the State's archaeology director",
        "law enforcement, and the armed service whose it was",
    ),
    "us-florida": Place(
        "911",
        "Call law enforcement (911 in danger) or the district medical examiner.",
        "Call 911 from a distance and do what they say.",
        "the State Archaeologist",
        "the State Archaeologist",
        "law enforcement, and the armed service whose it was",
    ),
}
ANYWHERE = Place(
    "112, or the number of your country",
    "Call the police.",
    "Call the police from a distance and do what they say.",
    "the museum or the heritage authority",
    "the authority for wrecks, or the police",
)

TELL_FEW = "Tell the leader and the landholder, and nobody else. No posts, no photographs to friends."

WORDS: tuple[Drill, ...] = (
    Drill(
        K.REMAINS,
        "Bones that may be human",
        "Stop digging. Do not lift or clean anything.",
        (
            "Leave everything where it lies and lay the soil or a sheet gently over it.",
            "Keep people away and note the place; show it to nobody who does not need it.",
            "{remains}",
            "Tell the leader, who stops the hunt and tells the landholder.",
            "Wait for those you called. They decide what happens next, not the club.",
        ),
        (C.POLICE, C.CORONER, C.LAND_MANAGER),
        "Disturbing a burial needs leave from the authorities, whatever its age.",
    ),
    Drill(
        K.ORDNANCE,
        "Anything that may explode",
        "Do not touch it, move it or dig further. Call {emergency}.",
        (
            "Walk away the way you came. Take everybody at least 100 m away, behind cover if there is any.",
            "Do not use a radio or phone close to it; call from a distance.",
            "Mark the way to it with something you carry, and note the place.",
            "{ordnance}",
            "Tell the leader, who stops the hunt and tells the landholder. Keep livestock and walkers away.",
            "Never carry it to the gate, into a vehicle or to a police station.",
        ),
        (C.POLICE, C.COASTGUARD),
        "Corroded ordnance can be as dangerous as new. Bomb disposal, whom the police send, decides when it is safe.",
    ),
    Drill(
        K.DEPOSIT,
        "Something left in the ground as it was put there",
        "Stop. Do not lift any more; what lies beside it is worth as much as the object.",
        (
            "Photograph the hole as it is, with a scale and with landmarks behind it.",
            "Log the place with its accuracy and look that it was saved.",
            "Cover it, fill gently and mark it so that only you would see.",
            "Call {deposit} now; out of hours e-mail the time, the place and a photograph.",
            TELL_FEW,
            "Agree who keeps watch until an archaeologist comes.",
        ),
        (C.FINDS_OFFICER, C.MUSEUM, C.CORONER, C.LAND_MANAGER),
        "Objects deposited together may have to be reported within a set time; the record is screened for that.",
    ),
    Drill(
        K.WRECK,
        "Part of a ship, its gear or its cargo",
        "Stop. Leave what lies there as it lies, and watch the tide.",
        (
            "If there may be ammunition, fuel or human remains: keep everybody away and call {emergency}.",
            "On the shore or in mud, leave in good time for the tide, whatever lies uncovered.",
            "Note the place, the day and the time; photograph it with a scale, and any marks or letters.",
            "Is a piece in your hand already? Keep it wet, do not clean it, and say so when you call.",
            "Call {wreck}. It belongs to somebody, or may: nothing is sold, shared or given away.",
            TELL_FEW,
        ),
        (C.RECEIVER, C.COASTGUARD, C.LAND_MANAGER),
        "Who finds or takes wreck has to report it to an official, in most places whatever its age and value.",
    ),
    Drill(
        K.AIRCRAFT,
        "Part of a crashed aircraft",
        "Stop digging. Leave every part where it lies.",
        (
            "Do not dig on to find out what it is; where it is protected, that alone may be an offence.",
            "If there may be ammunition, fuel or human remains: keep everybody away and call {emergency}.",
            "Do not burn, break or breathe its dust; wash your hands before you eat.",
            "Note the place with its accuracy. Do not publish it.",
            "Call {aircraft}.",
            TELL_FEW,
        ),
        (C.MILITARY, C.POLICE, C.LAND_MANAGER),
        "Remains of military aircraft may be protected by law wherever they crashed, and people may lie in them.",
    ),
    Drill(
        K.SERVICES,
        "Buried service, pipe or cable",
        "Stop at warning tape, tile, pipe or cable. Do not touch it.",
        (
            "Get everybody away from the hole; no smoking, no engine and no phone beside it.",
            "If you smell gas, hear a hiss or see sparks, go upwind and call {emergency} from a distance.",
            "Read the name and number on the nearest marker post or manhole and call that operator.",
            "Tell the leader and the landholder. Leave the hole open and watched until the operator has seen it.",
        ),
        (C.POLICE,),
        "Even a scratch to a coating can fail later, so report every strike.",
    ),
    Drill(
        K.INJURY,
        "Somebody is hurt or ill",
        "Call {emergency}. Say the grid reference on the emergency card first.",
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
