"""Plain words for the facts that search rules ask about a place and a plan: when it is so, and when it is not."""

from __future__ import annotations

from law.tri import Tri
from law.words import WORDS

PLACE_WORDS: dict[str, tuple[str, str]] = {
    "detecting": ("A detector will be used.", "No detector will be used."),
    "digging": ("Something will be dug.", "Nothing will be dug."),
    "carrying": (
        "A detector is taken onto the ground, used or not.",
        "No detector is taken onto the ground.",
    ),
    "packed": (
        "The detector is packed so that it cannot be used.",
        "The detector is not packed so that it cannot be used.",
    ),
    "public_road": (
        "The way only leads over a road open to the public.",
        "The way leads elsewhere than over a road open to the public.",
    ),
    "recorded_monument": ("It is a recorded monument.", "It is no recorded monument."),
    "importance_area": (
        "It is an area of archaeological importance or a registered archaeological area.",
        "It is no area of archaeological importance and no registered archaeological area.",
    ),
    "draft_designation": ("It is about to be designated.", "It is not about to be designated."),
    "local_protection": (
        "A province or municipality protects it, or is about to.",
        "No province or municipality protects it or is about to.",
    ),
    "local_ban": (
        "A local body has forbidden detecting here.",
        "No local body has forbidden detecting here.",
    ),
    "excavation_terrain": ("An excavation is going on there.", "No excavation is going on there."),
    "nature_reserve": (
        "It is a nature site where digging needs the nature body's say.",
        "It is no nature site where digging needs the nature body's say.",
    ),
    "agri_agreement": (
        "An agri-environment agreement covers it.",
        "No agri-environment agreement covers it.",
    ),
    "open_access": ("It is open access land.", "It is no open access land."),
    "foreshore": ("It is foreshore.", "It is not foreshore."),
    "under_water": ("It is under water.", "It is not under water."),
    "military_crash": ("A military aircraft crashed there.", "No military aircraft crashed there."),
    "public_body_land": (
        "A council, trust, forest or defence body with rules of its own holds it.",
        "No public body with rules of its own holds it.",
    ),
    "tenanted": ("It is let to a tenant.", "It is not let to a tenant."),
    "beach_or_uncultivated": (
        "It is beach or uncultivated land.",
        "It is neither beach nor uncultivated land.",
    ),
    "state_nature_land": ("It is the State's nature land.", "It is not the State's nature land."),
    "owner_leave": ("The owner has given leave.", "The owner has not given leave."),
    "ancient_site": (
        "It is an archaeological site, grave or cairn, marked or not.",
        "It is no archaeological site, grave or cairn.",
    ),
    "below_plough_layer": (
        "The plan goes below the plough layer.",
        "The plan stays within the plough layer.",
    ),
    "for_ancient_finds": (
        "The aim is to look for ancient things.",
        "The aim is not to look for ancient things.",
    ),
}


def place_or_find_words(fact: str, value: Tri) -> str:
    """How a fact of a find or of a place reads when it has to be yes, or no."""
    yes, no = PLACE_WORDS.get(fact) or WORDS[fact][:2]
    return no if value is Tri.NO else yes
