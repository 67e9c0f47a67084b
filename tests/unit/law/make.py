"""Makers for law tests: an ordinary inland find with every fact said; a test changes what it is about."""

from datetime import date

from law.facts import FindFacts
from law.pack import load_pack
from law.screen import screen
from law.tri import Tri

FOUND = date(2025, 3, 10)

ORDINARY = {
    "found_on": FOUND,
    "is_coin": Tri.NO,
    "worked": Tri.YES,
    "gold": Tri.NO,
    "silver": Tri.NO,
    "copper_alloy": Tri.NO,
    "base_metal": Tri.NO,
    "pierced_or_mounted": Tri.NO,
    "common_small_copper": Tri.NO,
    "prehistoric": Tri.NO,
    "sami": Tri.NO,
    "made_from": 1950,
    "made_to": 1960,
    "same_find": Tri.YES,
    "others_nearby": Tri.NO,
    "container": Tri.NO,
    "hidden": Tri.NO,
    "exceptional": Tri.NO,
    "exceptional_by_expert": True,
    "of_interest": Tri.NO,
    "historic_link": Tri.NO,
    "owner_known": Tri.NO,
    "recently_lost": Tri.NO,
    "protected_place": Tri.NO,
    "consent_held": Tri.YES,
    "detector_used": Tri.NO,
    "dug": Tri.NO,
    "depth_cm": 5.0,
    "tidal": Tri.NO,
    "in_water": Tri.NO,
    "church_land": Tri.NO,
    "church_of_england": Tri.NO,
    "church_faculty": Tri.NO,
    "church_held": Tri.NO,
    "cathedral": Tri.NO,
    "at_remain": Tri.NO,
    "landmark_zone": Tri.NO,
    "land_status": "private",
    "remain_uncovered": Tri.NO,
    "observed_only": Tri.NO,
    "worked_stone_point": Tri.NO,
    "human_remains": Tri.NO,
    "grave_goods": Tri.NO,
    "native_american": Tri.NO,
    "ordnance": Tri.NO,
    "military_aircraft": Tri.NO,
    "military_vessel": Tri.NO,
    "from_vessel": Tri.NO,
}


def make_facts(**changes) -> FindFacts:
    """An ordinary find with these facts instead."""
    return FindFacts(**{**ORDINARY, **changes})


def screen_in(code, facts, *, group=(), on=date(2025, 12, 1)):
    return screen(facts, group=group, pack=load_pack(code), on=on)


def duty_of(result, rule):
    """The duty of that rule; fails when the screening does not hold it."""
    return next(duty for duty in result.duties if duty.rule == rule)
