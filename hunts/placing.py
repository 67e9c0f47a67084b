"""Did a hole lie inside? Judged against the boundary that the hunt keeps."""

from typing import Any

from geo.inside import Judgement, judge_inside
from hunts.models import Hunt
from permissions.models import Site


def judge(hunt: Hunt, site: Site, columns: dict[str, Any]) -> Judgement | None:
    """Judge position `columns` (lon, lat, accuracy_m) against the site as hunted; None without a position."""
    if columns.get("lon") is None or columns.get("lat") is None:
        return None
    return judge_inside(
        hunt.boundaries[site.pk], columns["lon"], columns["lat"], columns.get("accuracy_m") or 0
    )


def placing_columns(judged: Judgement | None) -> dict[str, Any]:
    """The columns of the hole that keep the judgement."""
    if judged is None:
        return {"placing": "", "placing_probability": None}
    return {"placing": judged.verdict.value, "placing_probability": judged.probability}
