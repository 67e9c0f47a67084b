"""The risk assessments of a hunt, site by site, for its own page and for the briefing."""

from datetime import date
from typing import Any

from hunts.models import Hunt, RiskAssessment, RiskLine
from hunts.states import HuntState
from people.models import User
from people.rights import Right


def risks_of(hunt: Hunt, user: User) -> list[dict[str, Any]]:
    """One entry a site: its assessment or None, and its lines with the greatest risk left first. Three queries."""
    rows = RiskAssessment.objects.visible_to(user).filter(hunt=hunt)
    found = {
        row.site_id: row for row in rows.select_related("made_by", "walked_by").prefetch_related("lines")
    }
    return [
        {"site": site, "assessment": found.get(site.pk), "lines": _lines(found.get(site.pk))}
        for site in hunt.sites.order_by("code")
    ]


def read_out(risks: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The same for reading aloud: sites with the same lines stand together, so that nothing is read twice."""
    alike: dict[tuple[Any, ...], list[dict[str, Any]]] = {}
    for each in risks:
        walked = bool(each["assessment"] and each["assessment"].walked_at)
        lines = (
            (row["line"].hazard, row["line"].control, row["line"].owner, row["word"]) for row in each["lines"]
        )
        alike.setdefault((walked, *lines), []).append(each)
    return [{**group[0], "site": ", ".join(str(each["site"]) for each in group)} for group in alike.values()]


def _lines(row: RiskAssessment | None) -> list[dict[str, Any]]:
    lines = sorted(row.lines.all(), key=_worst_first) if row else []
    return [{"line": line, "status": line.band[0], "word": line.band[1]} for line in lines]


def _worst_first(line: RiskLine) -> tuple[int, int, int]:
    return -line.residual, -line.score, line.pk


def risks_page(hunt: Hunt, user: User, *, on: date) -> dict[str, Any]:
    """The page of all sites' assessments, and what this reader may do with them."""
    live = hunt.state not in {HuntState.CLOSED, HuntState.CALLED_OFF}
    risks = risks_of(hunt, user)
    return {
        "hunt": hunt,
        "risks": risks,
        "may_write": live and user.holds(Right.PLAN_HUNT),
        "may_agree": live and user.holds(Right.RUN_HUNT),
        "due": [each["site"] for each in risks if each["assessment"] and each["assessment"].review_on < on],
    }
