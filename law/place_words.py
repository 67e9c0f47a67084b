"""Plain words for the facts that search rules ask about a place and a plan: when it is so, and when it is not."""

from __future__ import annotations

from law.tri import Tri
from law.words import WORDS
from tongue import noop as _

PLACE_WORDS: dict[str, tuple[str, str]] = {
    "detecting": (_("A detector will be used."), _("No detector will be used.")),
    "digging": (_("Something will be dug."), _("Nothing will be dug.")),
    "carrying": (
        _("A detector is taken onto the ground, used or not."),
        _("No detector is taken onto the ground."),
    ),
    "packed": (
        _("The detector is packed so that it cannot be used."),
        _("The detector is not packed so that it cannot be used."),
    ),
    "public_road": (
        _("The way only leads over a road open to the public."),
        _("The way leads elsewhere than over a road open to the public."),
    ),
    "recorded_monument": (_("It is a recorded monument."), _("It is no recorded monument.")),
    "importance_area": (
        _("It is an area of archaeological importance or a registered archaeological area."),
        _("It is no area of archaeological importance and no registered archaeological area."),
    ),
    "draft_designation": (_("It is about to be designated."), _("It is not about to be designated.")),
    "local_protection": (
        _("A province or municipality protects it, or is about to."),
        _("No province or municipality protects it or is about to."),
    ),
    "local_ban": (
        _("A local body has forbidden detecting here."),
        _("No local body has forbidden detecting here."),
    ),
    "excavation_terrain": (_("An excavation is going on there."), _("No excavation is going on there.")),
    "nature_reserve": (
        _("It is a nature site where digging needs the nature body's say."),
        _("It is no nature site where digging needs the nature body's say."),
    ),
    "agri_agreement": (
        _("An agri-environment agreement covers it."),
        _("No agri-environment agreement covers it."),
    ),
    "open_access": (_("It is open access land."), _("It is no open access land.")),
    "foreshore": (_("It is foreshore."), _("It is not foreshore.")),
    "under_water": (_("It is under water."), _("It is not under water.")),
    "military_crash": (_("A military aircraft crashed there."), _("No military aircraft crashed there.")),
    "public_body_land": (
        _("A council, trust, forest or defence body with rules of its own holds it."),
        _("No public body with rules of its own holds it."),
    ),
    "tenanted": (_("It is let to a tenant."), _("It is not let to a tenant.")),
    "beach_or_uncultivated": (
        _("It is beach or uncultivated land."),
        _("It is neither beach nor uncultivated land."),
    ),
    "state_nature_land": (_("It is the State's nature land."), _("It is not the State's nature land.")),
    "owner_leave": (_("The owner has given leave."), _("The owner has not given leave.")),
    "ancient_site": (
        _("It is an archaeological site, grave or cairn, marked or not."),
        _("It is no archaeological site, grave or cairn."),
    ),
    "below_plough_layer": (
        _("The plan goes below the plough layer."),
        _("The plan stays within the plough layer."),
    ),
    "for_ancient_finds": (
        _("The aim is to look for ancient things."),
        _("The aim is not to look for ancient things."),
    ),
}


def place_or_find_words(fact: str, value: Tri) -> str:
    """How a fact of a find or of a place reads when it has to be yes, or no."""
    yes, no = PLACE_WORDS.get(fact) or WORDS[fact][:2]
    return no if value is Tri.NO else yes
