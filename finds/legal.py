"""What the record says, put as the facts that law packs ask for."""

from typing import Any

from django.utils.timezone import localtime

from finds.edtf_dates import is_in_doubt
from finds.models import Find
from finds.models.choices import Certainty, Material, YearsSource
from law.facts import FindFacts, LandStatus
from law.tri import Tri, tri

METALS = {
    Material.GOLD,
    Material.SILVER,
    Material.COPPER_ALLOY,
    Material.LEAD,
    Material.IRON,
    Material.TIN,
    Material.OTHER_METAL,
}
BASE = METALS - {Material.GOLD, Material.SILVER}


def facts_of(find: Find) -> FindFacts:
    """Return the facts of `find`: what its columns and its site say, then the answers kept in `find.facts`.

    Nothing here is a “no” that nobody said. Materials listed mean yes, whatever an older answer says; a material
    that is not listed stays unknown until somebody answers, because plating and alloys are easily missed and a
    handle may be bone on iron. `find.materials` should be prefetched.
    """
    listed = {Material(row.material): row.share_percent for row in find.materials.all()}
    answers = FindFacts.from_dict(find.facts)
    metals = _metals(listed)
    values: dict[str, Any] = {
        "ref": find.number,
        "jurisdiction": find.site.jurisdiction,
        "found_at": find.found_at,
        "realised_on": find.realised_on,
        "is_coin": Tri(find.is_coin),
        "count": find.count,
        "made_from": None if _years_in_doubt(find) else find.year_from,
        "made_to": find.year_to,
        "depth_cm": float(find.depth_cm) if find.depth_cm is not None else None,
        "dug": tri(True) if find.hole_id else Tri.UNKNOWN,
        # A group is somebody's decision, with reasons, that its objects were left together.
        "same_find": tri(True) if find.group_id else Tri.UNKNOWN,
        "detector_used": tri(True),
        "protected_place": _protected(find),
        "tidal": Tri(find.site.tidal),
        "church_land": Tri(find.site.church_land),
        "land_status": LandStatus(find.site.land_status),
        **metals,
        **_share(listed, answers),
    }
    said = {name: getattr(answers, name) for name in find.facts if metals.get(name) is not Tri.YES}
    return FindFacts(**(values | said))


def _years_in_doubt(find: Find) -> bool:
    """Are the years a guess? They may then say that a thing is old enough, never that it is too young.

    In doubt are years that are only possible, years that came with the name of a period while nobody said how sure
    that is, and an EDTF date with ?, ~ or %. What can reasonably be taken to be of an age is presumed to be
    (Treasure Act 1996 s.3(6)).
    """
    unsaid = find.years_source == YearsSource.PERIOD and find.certainty == Certainty.UNKNOWN
    return find.certainty == Certainty.POSSIBLE or unsaid or is_in_doubt(find.edtf)


def _metals(listed: dict[Material, Any]) -> dict[str, Tri]:
    """What the list says is there; it says of nothing that it is not."""
    kinds_of = {
        "any_metal": METALS,
        "gold": {Material.GOLD},
        "silver": {Material.SILVER},
        "base_metal": BASE,
        "copper_alloy": {Material.COPPER_ALLOY},
    }
    return {name: Tri.YES for name, kinds in kinds_of.items() if kinds & listed.keys()}


def _share(listed: dict[Material, Any], answers: FindFacts) -> dict[str, float]:
    """The precious share as a range: at least what is listed, at most what the other metals' shares leave.

    It is one figure where both gold and silver are listed with shares, or the one not listed is answered “no”.
    """
    precious = {Material.GOLD: answers.gold, Material.SILVER: answers.silver}
    if not precious.keys() & listed.keys():
        return {}
    shares = {metal: float(listed[metal]) for metal in METALS & listed.keys() if listed[metal] is not None}
    low = sum(shares.get(metal, 0.0) for metal in precious)
    settled = all(
        metal in shares or (metal not in listed and said is Tri.NO) for metal, said in precious.items()
    )
    high = low if settled else 100.0 - sum(shares.get(metal, 0.0) for metal in BASE)
    if not low and high >= 100.0:
        return {}
    return {"precious_pct_low": min(low, 100.0), "precious_pct_high": min(max(low, high), 100.0)}


def _protected(find: Find) -> Tri:
    """What the latest check of the official maps on or before the day of the find said of its site.

    A find that lies, or may lie, outside the site is not cleared by it.
    """
    day = localtime(find.found_at).date()
    checks = [check for check in find.site.protected_checks.all() if check.checked_on <= day]
    latest = max(checks, key=lambda check: (check.checked_on, check.pk), default=None)
    said = {"clear": Tri.NO, "touches": Tri.YES}.get(latest.result if latest else "", Tri.UNKNOWN)
    return Tri.UNKNOWN if said is Tri.NO and find.placing in ("outside", "uncertain") else said
