"""Drafts of reports on a season, and what the page of landholders to thank shows."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from finds.forms.filters import season_of, season_words
from hunts.models import Hunt
from hunts.states import HuntState
from people.languages import speaking
from permissions.models import Landholder
from reports.build.thanks import to_thank
from reports.build.year import year_report
from reports.drafts import Draft
from reports.models import IssuedReport, Kind


def draft_for_year(year: int, landholder: Landholder | None, *, on: date) -> Draft:
    """The next report on the season that began in `year`, for the club or for one landholder."""
    earlier = IssuedReport.objects.filter(kind=Kind.YEAR, year=year, landholder=landholder)
    issue = earlier.count() + 1
    suffix = f"L{landholder.pk}-" if landholder else ""
    with speaking(landholder.language if landholder else ""):
        report = year_report(year, landholder, number=f"Y-{year}-{suffix}{issue}", on=on)
    return Draft(report, issue, landholder.name if landholder else _("The club"))


def seasons(today: date) -> list[tuple[int, str]]:
    """Every season with a closed hunt, and the present one, the latest first."""
    days: Iterable[date] = Hunt.objects.filter(state=HuntState.CLOSED).order_by().values_list("on", flat=True)
    years = {season_of(day) for day in {*days, today}}
    return [(year, season_words(year)) for year in sorted(years, reverse=True)]


def address_lines(landholder: Landholder) -> list[str]:
    """What stands on an address label; nothing where no address is known."""
    lines = [line.strip() for line in landholder.address.splitlines() if line.strip()]
    return [landholder.contact_name or landholder.name, *lines] if lines else []


def thanks_context(year: int) -> dict[str, Any]:
    rows = to_thank(year)
    return {
        "year": year,
        "season": season_words(year),
        "rows": rows,
        "labels": [lines for row in rows if (lines := address_lines(row.landholder))],
        "without": [row.landholder.name for row in rows if not row.landholder.address.strip()],
    }


def thanked_people(year: int) -> list[Landholder]:
    """Everybody whose land was searched in the season, by name."""
    return [row.landholder for row in to_thank(year)]
