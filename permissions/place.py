"""What a site says of itself to the search rules of the law."""

from datetime import date
from functools import cache
from typing import Any

from law.asks import asks_about
from law.facts import LandStatus
from law.pack import pack_codes
from law.place import PlaceFacts
from law.together import packs_for
from law.tri import Tri


def place_of(on: date, land_status: str, **said: Any) -> PlaceFacts:
    """The facts of a search with the owner's leave on land so held, on that day."""
    return PlaceFacts(on=on, owner_leave=Tri.YES, land_status=LandStatus(land_status), **said)


@cache
def tells_lands_apart(jurisdiction: str) -> bool:
    """Does any law of the place, on finds or on searching, ask who holds the land?"""
    if jurisdiction not in pack_codes():
        return False
    return any(asks_about(pack, "land_status") for pack in packs_for(jurisdiction))
