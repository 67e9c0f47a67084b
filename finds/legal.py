"""What the record says, put as the facts that law packs ask for."""

from typing import Any

from django.utils.timezone import localtime

from finds.models import Find
from finds.models.find import Material
from law.facts import FindFacts
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

    Materials listed mean yes, whatever an older answer says; a metal that is not listed stays unknown until
    somebody answers, because plating and alloys are easily missed. `find.materials` should be prefetched.
    """
    listed = {Material(row.material): row.share_percent for row in find.materials.all()}
    values: dict[str, Any] = {
        "ref": find.number,
        "jurisdiction": find.site.jurisdiction,
        "found_at": find.found_at,
        "realised_on": find.realised_on,
        "is_coin": Tri(find.is_coin),
        "count": find.count,
        "made_from": find.year_from,
        "made_to": find.year_to,
        "depth_cm": float(find.depth_cm) if find.depth_cm is not None else None,
        "dug": tri(True) if find.hole_id else Tri.UNKNOWN,
        # A group is somebody's decision, with reasons, that its objects were left together.
        "same_find": tri(True) if find.group_id else Tri.UNKNOWN,
        "detector_used": tri(True),
        "protected_place": _protected(find),
        "tidal": Tri(find.site.tidal),
        "church_land": Tri(find.site.church_land),
        **_metals(listed),
        **_share(listed),
    }
    answers = FindFacts.from_dict(find.facts)
    metals = _metals(listed)
    said = {name: getattr(answers, name) for name in find.facts if metals.get(name) is not Tri.YES}
    return FindFacts(**(values | said))


def _metals(listed: dict[Material, Any]) -> dict[str, Tri]:
    found: dict[str, Tri] = {}
    if listed:
        found["any_metal"] = tri(bool(METALS & listed.keys()))
    for name, kinds in (
        ("gold", {Material.GOLD}),
        ("silver", {Material.SILVER}),
        ("base_metal", BASE),
        ("copper_alloy", {Material.COPPER_ALLOY}),
    ):
        if kinds & listed.keys():
            found[name] = Tri.YES
    return found


def _share(listed: dict[Material, Any]) -> dict[str, float]:
    """The precious share when every precious metal listed has one."""
    precious = {m: share for m, share in listed.items() if m in {Material.GOLD, Material.SILVER}}
    if not precious or any(share is None for share in precious.values()):
        return {}
    percent = float(sum(precious.values()))
    return {"precious_pct_low": percent, "precious_pct_high": percent}


def _protected(find: Find) -> Tri:
    """What the latest check of the official maps on or before the day of the find said."""
    day = localtime(find.found_at).date()
    checks = [check for check in find.site.protected_checks.all() if check.checked_on <= day]
    latest = max(checks, key=lambda check: (check.checked_on, check.pk), default=None)
    return {"clear": Tri.NO, "touches": Tri.YES}.get(latest.result if latest else "", Tri.UNKNOWN)
