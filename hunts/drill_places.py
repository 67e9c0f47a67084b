"""What the drills say differently from place to place: emergency numbers, and whom one tells.

Sources: those that hunts/drill_words.py names.
"""

from dataclasses import dataclass

from tongue import noop


@dataclass(frozen=True, slots=True)
class Place:
    """What a drill says differently under one law. `emergency` is the number to dial in danger."""

    emergency: str
    remains: str
    ordnance: str
    deposit: str
    wreck: str
    aircraft: str = noop("the police")


UK = Place(
    emergency=noop("999 or 112"),
    remains=noop("Call the police: 101, or 999 (112 works too) if you think it is recent."),
    ordnance=noop(
        "Call 999 (112 works too): the police inland, the coastguard on a beach or below high water."
    ),
    deposit=noop("the finds officer or the museum"),
    wreck=noop("the Receiver of Wreck"),
    aircraft=noop("the Ministry of Defence's casualty centre"),
)
PLACES: dict[str, Place] = {
    "england": UK,
    "wales": UK,
    "northern-ireland": UK,
    "scotland": Place(
        UK.emergency,
        noop(
            "Call the police: 101, or 999 (112 works too) if you think it is recent. There is no coroner in "
            "Scotland; the police tell whoever has to know."
        ),
        UK.ordnance,
        noop("the treasure trove unit or the museum"),
        UK.wreck,
        UK.aircraft,
    ),
    "isle-of-man": Place(
        "999",
        noop("Call the police; 999 if you think it is recent."),
        noop("Call 999: the police inland, the coastguard on a beach or below high water."),
        noop("the museum"),
        noop("the Isle of Man receiver of wreck"),
    ),
    "ireland": Place(
        noop("999 or 112"),
        noop("Call the Garda: 999 or 112."),
        noop("Call 999 or 112: the Garda inland, the coastguard on a beach or below high water."),
        noop("the museum"),
        noop(
            "the receiver of wreck; for an old wreck (lost over 100 years ago) the Garda or the Minister too"
        ),
        noop("the Garda"),
    ),
    "sweden": Place(
        "112",
        noop("Call the police; 112 in danger."),
        noop("Call 112 from a distance and do what the police say."),
        noop("the county board"),
        noop("the county board, the police or the coast guard"),
    ),
    "norway": Place(
        "112",
        noop("Call the police; 112 in danger."),
        noop("Call 112 from a distance and do what the police say."),
        noop("the county's heritage service"),
        noop("the county's heritage service or the police"),
    ),
    "denmark": Place(
        "112",
        noop("Call the police; 112 in danger."),
        noop("Call 112 from a distance and do what the police say."),
        noop("the local museum"),
        noop("the State's culture agency"),
    ),
    "netherlands": Place(
        "112",
        noop("Call the police; 112 in danger."),
        noop("Call 112 from a distance and do what the police say."),
        noop("the municipality or the heritage agency"),
        noop("the municipality or the heritage agency"),
    ),
    "us-federal": Place(
        "911",
        noop("Call law enforcement (911 in danger) and the manager of that land; on tribal land, the tribe."),
        noop("Call 911 from a distance and do what they say."),
        noop("the manager of that land"),
        noop("the manager of that land and the State historic preservation office"),
        noop("law enforcement, and the armed service whose it was"),
    ),
    "us-washington": Place(
        "911",
        noop("Call the county coroner or medical examiner and local law enforcement (911 in danger): both."),
        noop("Call 911 from a distance and do what they say."),
        noop("the State's archaeology director"),
        noop("the State's archaeology director"),
        noop("law enforcement, and the armed service whose it was"),
    ),
    "us-florida": Place(
        "911",
        noop("Call law enforcement (911 in danger) or the district medical examiner."),
        noop("Call 911 from a distance and do what they say."),
        noop("the State Archaeologist"),
        noop("the State Archaeologist"),
        noop("law enforcement, and the armed service whose it was"),
    ),
}
ANYWHERE = Place(
    noop("112, or the number of your country"),
    noop("Call the police."),
    noop("Call the police from a distance and do what they say."),
    noop("the museum or the heritage authority"),
    noop("the authority for wrecks, or the police"),
)
