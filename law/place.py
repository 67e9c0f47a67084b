"""The facts about a place and a plan that search rules ask for; what is not said is unknown."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date

from law.facts import LandStatus
from law.tri import Tri


@dataclass(frozen=True, kw_only=True, slots=True)
class PlaceFacts:
    """Where, when and how a search is planned. `on` is the local day.

    `depth_cm` is the deepest the plan goes below the land surface; `distance_m` is to the nearest known
    protected monument (metres, 0 on it). `licences` holds the names of official licences held in writing that
    cover this place, person and day; the owner's leave is never one of them.
    """

    on: date
    licences: frozenset[str] = frozenset()
    depth_cm: float | None = None
    distance_m: float | None = None
    land_status: LandStatus = LandStatus.UNKNOWN
    detecting: Tri = Tri.YES  # a detector will be used
    digging: Tri = Tri.YES
    carrying: Tri = Tri.YES  # a detector is taken onto the ground, used or not
    packed: Tri = Tri.NO  # the detector is packed so that it cannot be used
    public_road: Tri = Tri.UNKNOWN  # only travelling on a road open to the public
    protected_place: Tri = Tri.UNKNOWN
    recorded_monument: Tri = Tri.UNKNOWN
    importance_area: Tri = Tri.UNKNOWN  # area of archaeological importance or registered archaeological area
    draft_designation: Tri = Tri.UNKNOWN
    local_protection: Tri = Tri.UNKNOWN  # protected, or about to be, by a province or municipality
    local_ban: Tri = Tri.UNKNOWN  # the municipality or another local body has forbidden detecting here
    excavation_terrain: Tri = Tri.UNKNOWN
    nature_reserve: Tri = Tri.UNKNOWN  # nature site where digging needs the nature body's say
    agri_agreement: Tri = Tri.UNKNOWN  # agri-environment agreement
    open_access: Tri = Tri.UNKNOWN
    foreshore: Tri = Tri.UNKNOWN
    under_water: Tri = Tri.UNKNOWN
    church_land: Tri = Tri.UNKNOWN
    military_crash: Tri = Tri.UNKNOWN
    public_body_land: Tri = Tri.UNKNOWN  # council, trust, forest or defence land with its own rules
    tenanted: Tri = Tri.UNKNOWN
    beach_or_uncultivated: Tri = Tri.UNKNOWN
    state_nature_land: Tri = Tri.UNKNOWN
    owner_leave: Tri = Tri.UNKNOWN
    ancient_site: Tri = Tri.UNKNOWN  # archaeological site, grave or cairn, marked or not
    below_plough_layer: Tri = Tri.UNKNOWN
    landmark_zone: Tri = Tri.UNKNOWN
    for_ancient_finds: Tri = Tri.UNKNOWN  # the aim is to look for ancient things


PLACE_NAMES = frozenset(f.name for f in fields(PlaceFacts) if f.type == "Tri")
