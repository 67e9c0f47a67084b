"""Plain words for every fact: when it is so, when it is not, and the question when nobody knows."""

from __future__ import annotations

from law.tri import Tri
from tongue import noop as _

# fact: (when yes, when no, the question)
WORDS: dict[str, tuple[str, str, str]] = {
    "is_coin": (_("It is a coin."), _("It is not a coin."), _("Is it a coin, or a token used as money?")),
    "an_object": (
        _("It is an object other than a coin."),
        _("It is a coin and nothing else."),
        _("Is it a coin only, or was it pierced, looped, mounted or gilded to be worn?"),
    ),
    "worked": (
        _("It was made or shaped by people."),
        _("It is natural, not made or shaped by people."),
        _("Was it made or shaped by people, or is it as nature left it?"),
    ),
    "any_metal": (_("Part of it is metal."), _("No part of it is metal."), _("Is any part of it metal?")),
    "gold": (_("It has some gold."), _("It has no gold."), _("Is any part of it gold, plating included?")),
    "silver": (
        _("It has some silver."),
        _("It has no silver."),
        _("Is any part of it silver, plating included?"),
    ),
    "precious": (
        _("It has some gold or silver."),
        _("It has no gold or silver."),
        _("Is any part of it gold or silver, plating included?"),
    ),
    "base_metal": (
        _("It has some metal other than gold or silver."),
        _("It has no metal other than gold or silver."),
        _("Is any part of it a metal other than gold or silver?"),
    ),
    "copper_alloy": (
        _("It has some copper, bronze or brass."),
        _("It has no copper, bronze or brass."),
        _("Is any part of it copper, bronze or brass?"),
    ),
    "pierced_or_mounted": (
        _("It is pierced, mounted or gilded."),
        _("It is not pierced, mounted or gilded."),
        _("Is it pierced, looped, mounted or gilded?"),
    ),
    "common_small_copper": (
        _("It was noted as a common small copper of the 17th century."),
        _("It was not noted as a common small copper of the 17th century."),
        _("Is it one of the common small Scottish coppers of the 17th century (turner, bawbee)?"),
    ),
    "prehistoric": (
        _("It is Iron Age or earlier."),
        _("It is later than the Iron Age."),
        _("Could it be Iron Age or earlier?"),
    ),
    "sami": (_("It is Sami."), _("It is not Sami."), _("Could it be Sami?")),
    "worked_stone_point": (
        _("It is a worked stone point."),
        _("It is not a worked stone point."),
        _("Is it an arrowhead or other worked stone point?"),
    ),
    "same_find": (
        _("It was left together with the others."),
        _("It was not left together with the others."),
        _("Were these left together (a hoard, a purse, a grave), or lost one by one?"),
    ),
    "others_nearby": (
        _("Other objects were found close by."),
        _("Nothing else was found close by."),
        _("Was anything else found close by, by anyone, now or before?"),
    ),
    "container": (
        _("It was in a container."),
        _("It was not in a container."),
        _("Was it in a pot, tin, purse or other container?"),
    ),
    "hidden": (
        _("There are signs that it was hidden."),
        _("There is no sign that it was hidden."),
        _("Are there signs that it was hidden to be fetched again?"),
    ),
    "hoarded": (
        _("It was in a container, or there are signs that it was hidden."),
        _("It was not in a container and there is no sign that it was hidden."),
        _("Was it in a container, or are there signs that it was hidden to be fetched again?"),
    ),
    "exceptional_insight": (
        _("Someone gave a reason why it may be exceptional."),
        _("An expert said that it is not exceptional."),
        _(
            "Does it look exceptional: rare of its kind in the country, remarkable for the place, "
            "or tied to a known person or event?"
        ),
    ),
    "of_interest": (
        _("It is of archaeological or historical interest."),
        _("It was said to be of no archaeological or historical interest."),
        _("Could it be of archaeological or historical interest?"),
    ),
    "historic_link": (
        _("It is tied to a historic person or event."),
        _("No tie to a historic person or event was noted."),
        _("Is it tied to a known person or event?"),
    ),
    "owner_known": (
        _("Its owner or an heir can be found."),
        _("No owner or heir can be found."),
        _("Can its owner or an heir still be found?"),
    ),
    "recently_lost": (
        _("It looks like a recent loss."),
        _("It does not look like a recent loss."),
        _("Does it look like something lost in living memory?"),
    ),
    "protected_place": (
        _("The place is protected."),
        _("The place is not protected."),
        _("Is the place a protected monument or site? Check the official register for that day."),
    ),
    "consent_held": (
        _("The official consent or permit was held."),
        _("The official consent or permit was not held."),
        _("Was the official consent or permit held for that place and search?"),
    ),
    "detector_used": (_("A detector was used."), _("No detector was used."), _("Was a detector used?")),
    "dug": (_("It was dug out."), _("It was not dug out."), _("Was it dug out, or picked from the surface?")),
    "tidal": (
        _("It was in tidal water or on its shore."),
        _("It was not in tidal water or on its shore."),
        _("Was it in the sea, in tidal water, or on the shore of either?"),
    ),
    "in_water": (
        _("It was under water."),
        _("It was not under water."),
        _("Was it under water or on a bed?"),
    ),
    "from_vessel": (
        _("It came from a ship or aircraft."),
        _("It did not come from a ship or aircraft."),
        _("Could it come from a ship or aircraft, its gear or its cargo?"),
    ),
    "wreck": (
        _("It came from a ship or aircraft in or beside tidal water."),
        _("It is not from a ship or aircraft in or beside tidal water."),
        _("Could it come from a ship or aircraft in or beside tidal water?"),
    ),
    "church_land": (
        _("It was on church land."),
        _("It was not on church land."),
        _("Was it on church land?"),
    ),
    "church_of_england": (
        _("The land is the Church of England's."),
        _("The land is not the Church of England's."),
        _("Which church does the land belong to?"),
    ),
    "church_faculty": (
        _("Object and land are under the Church of England's faculty jurisdiction."),
        _("Object and land are not both under the Church of England's faculty jurisdiction."),
        _("Are object and land under the Church of England's faculty jurisdiction?"),
    ),
    "church_held": (
        _("A church corporation, parochial church council or diocesan board holds it."),
        _("No church corporation, parochial church council or diocesan board holds it."),
        _("Who holds it: a church corporation, the parochial church council, a diocesan board of finance?"),
    ),
    "cathedral": (
        _("It was in or under a cathedral church or its precinct."),
        _("It was not in or under a cathedral church or its precinct."),
        _("Was it in or under a cathedral church or its precinct?"),
    ),
    "at_remain": (
        _("It was in or at an ancient remain or site."),
        _("It was not in or at an ancient remain or site."),
        _("Was it in or at an ancient remain, a grave, a wreck or another old site?"),
    ),
    "landmark_zone": (
        _("The place is inside a designated landmark zone."),
        _("The place is not inside a designated landmark zone."),
        _("Is the place inside a designated archaeological landmark zone?"),
    ),
    "remain_uncovered": (
        _("Digging met a feature in the ground."),
        _("Digging met no feature in the ground."),
        _("Did digging meet a wall, hearth, grave, stone setting or dark soil?"),
    ),
    "observed_only": (_("It was seen and left."), _("It was lifted."), _("Was it lifted, or only seen?")),
    "human_remains": (
        _("There may be human remains."),
        _("There are no human remains."),
        _("Could any of it be human bone or ashes?"),
    ),
    "grave_goods": (
        _("There may be grave goods."),
        _("There are no grave goods."),
        _("Could it come from a grave?"),
    ),
    "native_american": (
        _("It may be Native American."),
        _("It is not Native American."),
        _("Could it be Native American?"),
    ),
    "ordnance": (
        _("There may be ammunition or explosives."),
        _("There is no ammunition or explosive."),
        _("Could any of it be ammunition, a shell, a mine or a firearm?"),
    ),
    "military_aircraft": (
        _("It may come from a military aircraft."),
        _("It does not come from a military aircraft."),
        _("Could it come from a crashed military aircraft?"),
    ),
    "military_vessel": (
        _("It may come from a military vessel."),
        _("It does not come from a military vessel."),
        _("Could it come from a sunken military vessel?"),
    ),
    "military_craft": (
        _("It may come from a military vessel or aircraft."),
        _("It does not come from a military vessel or aircraft."),
        _("Could it come from a military vessel or aircraft?"),
    ),
}

# Facts that are not yes or no: only the question.
QUESTIONS: dict[str, str] = {
    "made_from": _("Between which years was it made?"),
    "precious_pct_low": _("What share of its metal by weight is gold or silver, and was that a bulk assay?"),
    "count": _("How many objects are there?"),
    "found_on": _("On which day was it found?"),
    "land_status": _("Who holds the land: park, forest, other federal, tribal, state, local or private?"),
    "vessel_lost_from": _("In which year was the ship or aircraft lost?"),
    "depth_cm": _("How deep was it, measured from the surface of the land?"),
}


def said_words(fact: str, value: Tri) -> str:
    """How that fact reads with that value; unknown gives the question."""
    yes, no, question = WORDS[fact]
    return {Tri.YES: yes, Tri.NO: no, Tri.UNKNOWN: f"Not known yet: {question}"}[value]


def question(fact: str) -> str:
    """The question that would settle that fact."""
    return WORDS[fact][2] if fact in WORDS else QUESTIONS[fact]
