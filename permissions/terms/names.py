"""What each term of an agreement is called where two are compared, and what some of them say."""

from permissions.terms.model import Findspot, Photographs
from tongue import noop

TERM_NAMES = {
    "weekdays": noop("days of the week"),
    "hours_from": noop("earliest hour"),
    "hours_to": noop("latest hour"),
    "max_heads": noop("number of people"),
    "who": noop("who may search"),
    "guests": noop("guests"),
    "juniors": noop("juniors"),
    "minimum_age": noop("least age"),
    "notice_hours": noop("hours of notice"),
    "notice_to": noop("who gets notice"),
    "max_vehicles": noop("number of vehicles"),
    "depth_limit_cm": noop("depth limit"),
    "livestock": noop("livestock"),
    "livestock_note": noop("words about livestock"),
    "dogs": noop("dogs"),
    "fee_per_head": noop("fee"),
    "currency": noop("currency"),
    "sharing": noop("sharing"),
    "findspot_landholder": noop("findspots shown to the landholder"),
    "findspot_members": noop("findspots shown to members"),
    "findspot_public": noop("findspots shown to the public"),
    "photographs": noop("photographs"),
    "insurance_floor": noop("least insurance"),
    "termination_days": noop("days of notice to end it"),
}
"""One name for each field of Terms; a test holds the two against each other."""

FINDSPOT = {
    Findspot.FULL: noop("in full"),
    Findspot.SQUARE_100_M: noop("to their 100 m square"),
    Findspot.SQUARE_1_KM: noop("to their 1 km square"),
    Findspot.PARISH: noop("by parish only"),
    Findspot.WITHHELD: noop("not at all"),
}
PHOTOS = {
    Photographs.FREE: noop("Photographs of finds and of the day may be published."),
    Photographs.NO_PLACES: noop(
        "Photographs of finds may be published, without anything that shows the place."
    ),
    Photographs.ASK_FIRST: noop("Nothing is published before the landholder has agreed to it."),
    Photographs.NONE: noop("No photographs are published."),
}
