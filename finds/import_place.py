"""The place in a row: read for the field's own country, judged against the boundary of the day."""

from collections.abc import Callable
from typing import Any

from django.utils.translation import gettext as _

from finds.squares import map_columns
from geo.errors import PositionError
from geo.inside import Judgement, Verdict, judge_inside
from permissions.models import Boundary, Site
from tongue import figure
from web.position_form import typed_columns

Wrong = Callable[[str, str], None]


def place_columns(
    given: dict[str, Any], site: Site, boundary: Callable[[], Boundary], wrong: Wrong
) -> dict[str, Any]:
    """Columns of Find for the place, or none. `boundary()` is that of the day; `wrong(column, words)` hears what
    cannot be taken.
    """
    text, accuracy = given.get("position", ""), given.get("position accuracy (m)")
    if not text:
        if accuracy is not None:
            wrong("position accuracy (m)", _("There is an accuracy and no position; give both or neither."))
        return {}
    if accuracy is not None and not 0 <= accuracy <= 10_000:
        wrong(
            "position accuracy (m)",
            _("%(accuracy)s m is no accuracy; give metres from 0 to 10,000.") % {"accuracy": accuracy},
        )
        return {}
    try:
        columns = typed_columns(text, site.country, accuracy_m=float(accuracy) if accuracy else None)
    except PositionError as error:
        wrong("position", str(error))
        return {}
    return (
        columns
        | map_columns(columns["lon"], columns["lat"], site.country)
        | _placing(given, site, boundary(), columns, wrong)
    )


def _placing(
    given: dict[str, Any], site: Site, boundary: Boundary, columns: dict[str, Any], wrong: Wrong
) -> dict[str, Any]:
    judged = _judge(boundary, columns)
    if judged.verdict is Verdict.OUTSIDE and not given.get("outside is right"):
        wrong(
            "position",
            _(
                "This is %(judged_distance_m)s m outside the boundary of %(site_code)s. Check it, or "
                "write yes under “outside is right”."
            )
            % {"judged_distance_m": figure(f"{abs(judged.distance_m):,.0f}"), "site_code": site.code},
        )
    return {"placing": judged.verdict.value, "placing_probability": judged.probability}


def _judge(boundary: Boundary, columns: dict[str, Any]) -> Judgement:
    """As hunts.placing judges, from boundaries that are loaded."""
    return judge_inside(boundary.geometry, columns["lon"], columns["lat"], columns["accuracy_m"] or 0)
