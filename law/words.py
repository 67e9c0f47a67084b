"""Plain words for every fact: when it is so, when it is not, and the question when nobody knows."""

from __future__ import annotations

from law.tri import Tri

# fact: (when yes, when no, the question)
WORDS: dict[str, tuple[str, str, str]] = {
    "is_coin": ("It is a coin.", "It is not a coin.", "Is it a coin, or a token used as money?"),
    "an_object": (
        "It is an object other than a coin.",
        "It is a coin and nothing else.",
        "Is it a coin only, or was it pierced, looped, mounted or gilded to be worn?",
    ),
    "worked": (
        "It was made or shaped by people.",
        "It is natural, not made or shaped by people.",
        "Was it made or shaped by people, or is it as nature left it?",
    ),
    "any_metal": ("Part of it is metal.", "No part of it is metal.", "Is any part of it metal?"),
    "gold": ("It has some gold.", "It has no gold.", "Is any part of it gold, plating included?"),
    "silver": ("It has some silver.", "It has no silver.", "Is any part of it silver, plating included?"),
    "precious": (
        "It has some gold or silver.",
        "It has no gold or silver.",
        "Is any part of it gold or silver, plating included?",
    ),
    "base_metal": (
        "It has some metal other than gold or silver.",
        "It has no metal other than gold or silver.",
        "Is any part of it a metal other than gold or silver?",
    ),
    "copper_alloy": (
        "It has some copper, bronze or brass.",
        "It has no copper, bronze or brass.",
        "Is any part of it copper, bronze or brass?",
    ),
    "pierced_or_mounted": (
        "It is pierced, mounted or gilded.",
        "It is not pierced, mounted or gilded.",
        "Is it pierced, looped, mounted or gilded?",
    ),
    "common_small_copper": (
        "It was noted as a common small copper of the 17th century.",
        "It was not noted as a common small copper of the 17th century.",
        "Is it one of the common small Scottish coppers of the 17th century (turner, bawbee)?",
    ),
    "prehistoric": (
        "It is Iron Age or earlier.",
        "It is later than the Iron Age.",
        "Could it be Iron Age or earlier?",
    ),
    "sami": ("It is Sami.", "It is not Sami.", "Could it be Sami?"),
    "worked_stone_point": (
        "It is a worked stone point.",
        "It is not a worked stone point.",
        "Is it an arrowhead or other worked stone point?",
    ),
    "same_find": (
        "It was left together with the others.",
        "It was not left together with the others.",
        "Were these left together (a hoard, a purse, a grave), or lost one by one?",
    ),
    "others_nearby": (
        "Other objects were found close by.",
        "Nothing else was found close by.",
        "Was anything else found close by, by anyone, now or before?",
    ),
    "container": (
        "It was in a container.",
        "It was not in a container.",
        "Was it in a pot, tin, purse or other container?",
    ),
    "hidden": (
        "There are signs that it was hidden.",
        "There is no sign that it was hidden.",
        "Are there signs that it was hidden to be fetched again?",
    ),
    "hoarded": (
        "It was in a container, or there are signs that it was hidden.",
        "It was not in a container and there is no sign that it was hidden.",
        "Was it in a container, or are there signs that it was hidden to be fetched again?",
    ),
    "exceptional_insight": (
        "Someone gave a reason why it may be exceptional.",
        "An expert said that it is not exceptional.",
        "Does it look exceptional: rare of its kind in the country, remarkable for the place, "
        "or tied to a known person or event?",
    ),
    "of_interest": (
        "It is of archaeological or historical interest.",
        "It was said to be of no archaeological or historical interest.",
        "Could it be of archaeological or historical interest?",
    ),
    "historic_link": (
        "It is tied to a historic person or event.",
        "No tie to a historic person or event was noted.",
        "Is it tied to a known person or event?",
    ),
    "owner_known": (
        "Its owner or an heir can be found.",
        "No owner or heir can be found.",
        "Can its owner or an heir still be found?",
    ),
    "recently_lost": (
        "It looks like a recent loss.",
        "It does not look like a recent loss.",
        "Does it look like something lost in living memory?",
    ),
    "protected_place": (
        "The place is protected.",
        "The place is not protected.",
        "Is the place a protected monument or site? Check the official register for that day.",
    ),
    "consent_held": (
        "The official consent or permit was held.",
        "The official consent or permit was not held.",
        "Was the official consent or permit held for that place and search?",
    ),
    "detector_used": ("A detector was used.", "No detector was used.", "Was a detector used?"),
    "dug": ("It was dug out.", "It was not dug out.", "Was it dug out, or picked from the surface?"),
    "tidal": (
        "It was in tidal water or on its shore.",
        "It was not in tidal water or on its shore.",
        "Was it in the sea, in tidal water, or on the shore of either?",
    ),
    "in_water": ("It was under water.", "It was not under water.", "Was it under water or on a bed?"),
    "from_vessel": (
        "It came from a ship or aircraft.",
        "It did not come from a ship or aircraft.",
        "Could it come from a ship or aircraft, its gear or its cargo?",
    ),
    "wreck": (
        "It came from a ship or aircraft in or beside tidal water.",
        "It is not from a ship or aircraft in or beside tidal water.",
        "Could it come from a ship or aircraft in or beside tidal water?",
    ),
    "church_land": ("It was on church land.", "It was not on church land.", "Was it on church land?"),
    "church_of_england": (
        "The land is the Church of England's.",
        "The land is not the Church of England's.",
        "Which church does the land belong to?",
    ),
    "church_faculty": (
        "Object and land are under the Church of England's faculty jurisdiction.",
        "Object and land are not both under the Church of England's faculty jurisdiction.",
        "Are object and land under the Church of England's faculty jurisdiction?",
    ),
    "church_held": (
        "A church corporation, parochial church council or diocesan board holds it.",
        "No church corporation, parochial church council or diocesan board holds it.",
        "Who holds it: a church corporation, the parochial church council, a diocesan board of finance?",
    ),
    "cathedral": (
        "It was in or under a cathedral church or its precinct.",
        "It was not in or under a cathedral church or its precinct.",
        "Was it in or under a cathedral church or its precinct?",
    ),
    "at_remain": (
        "It was in or at an ancient remain or site.",
        "It was not in or at an ancient remain or site.",
        "Was it in or at an ancient remain, a grave, a wreck or another old site?",
    ),
    "landmark_zone": (
        "The place is inside a designated landmark zone.",
        "The place is not inside a designated landmark zone.",
        "Is the place inside a designated archaeological landmark zone?",
    ),
    "remain_uncovered": (
        "Digging met a feature in the ground.",
        "Digging met no feature in the ground.",
        "Did digging meet a wall, hearth, grave, stone setting or dark soil?",
    ),
    "observed_only": ("It was seen and left.", "It was lifted.", "Was it lifted, or only seen?"),
    "human_remains": (
        "There may be human remains.",
        "There are no human remains.",
        "Could any of it be human bone or ashes?",
    ),
    "grave_goods": (
        "There may be grave goods.",
        "There are no grave goods.",
        "Could it come from a grave?",
    ),
    "native_american": (
        "It may be Native American.",
        "It is not Native American.",
        "Could it be Native American?",
    ),
    "ordnance": (
        "There may be ammunition or explosives.",
        "There is no ammunition or explosive.",
        "Could any of it be ammunition, a shell, a mine or a firearm?",
    ),
    "military_aircraft": (
        "It may come from a military aircraft.",
        "It does not come from a military aircraft.",
        "Could it come from a crashed military aircraft?",
    ),
    "military_vessel": (
        "It may come from a military vessel.",
        "It does not come from a military vessel.",
        "Could it come from a sunken military vessel?",
    ),
    "military_craft": (
        "It may come from a military vessel or aircraft.",
        "It does not come from a military vessel or aircraft.",
        "Could it come from a military vessel or aircraft?",
    ),
}

# Facts that are not yes or no: only the question.
QUESTIONS: dict[str, str] = {
    "made_from": "Between which years was it made?",
    "precious_pct_low": "What share of its metal by weight is gold or silver, and was that a bulk assay?",
    "count": "How many objects are there?",
    "found_on": "On which day was it found?",
    "land_status": "Who holds the land: park, forest, other federal, tribal, state, local or private?",
    "vessel_lost_from": "In which year was the ship or aircraft lost?",
    "depth_cm": "How deep was it, measured from the surface of the land?",
}


def said_words(fact: str, value: Tri) -> str:
    """How that fact reads with that value; unknown gives the question."""
    yes, no, question = WORDS[fact]
    return {Tri.YES: yes, Tri.NO: no, Tri.UNKNOWN: f"Not known yet: {question}"}[value]


def question(fact: str) -> str:
    """The question that would settle that fact."""
    return WORDS[fact][2] if fact in WORDS else QUESTIONS[fact]
