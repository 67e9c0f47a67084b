"""What one landholder may read: their land, their reports, the next visits, and what they answered."""

from datetime import date, datetime
from typing import Any

from django.db.models import QuerySet
from django.utils.timezone import localdate

from hunts.models import Hunt
from permissions.models import Landholder, Permission, Site, SiteParty
from permissions.models.site import Capacity
from permissions.states import State
from reports.agreement_page import withdrawable
from reports.content import from_data
from reports.forms import ConcernForm, ConfirmForm, PauseForm
from reports.models import IssuedReport, Kind
from reports.photos import landholder_photo_urls

MAY_PAUSE = [Capacity.OWNER, Capacity.OCCUPIER, Capacity.AGENT]


def sites_of(landholder: Landholder, on: date, capacities: list[Capacity] | None = None) -> QuerySet[Site]:
    """Sites where this landholder has a say on that day, in any capacity or in one of `capacities`."""
    parties = SiteParty.objects.on(on).filter(landholder=landholder)
    if capacities is not None:
        parties = parties.filter(capacity__in=capacities)
    return Site.objects.filter(pk__in=parties.values("site"))


def own_permissions(landholder: Landholder, on: date) -> QuerySet[Permission]:
    """Permissions that this landholder may pause that day: as owner, occupier or agent of one of the sites."""
    return Permission.objects.filter(sites__in=sites_of(landholder, on, MAY_PAUSE)).distinct()


def reports_for(landholder: Landholder) -> QuerySet[IssuedReport]:
    """Reports that were issued to this landholder; never a heritage report."""
    return (
        IssuedReport.objects.filter(landholder=landholder).exclude(kind=Kind.HERITAGE).select_related("hunt")
    )


def pause_form(permission_id: int, data: Any = None) -> PauseForm:
    """The form that pauses one permission, with identifiers of its own beside the others on the page."""
    return PauseForm(data, auto_id=f"pause-{permission_id}-%s")


def page_context(
    landholder: Landholder, key: str, *, at: datetime, tried: dict[int, PauseForm] | None = None
) -> dict[str, Any]:
    """What the page shows; `tried` holds the form of a pause that could not be taken, by its permission."""
    tried = tried or {}
    today = localdate(at)
    sites = sites_of(landholder, today)
    coming = Hunt.objects.filter(sites__in=sites).coming(today).distinct().select_related("leader")
    return {
        "landholder": landholder,
        "key": key,
        "sites": sites,
        "coming": coming.prefetch_related("sites"),
        "reports": reports_for(landholder),
        "pausable": [
            {"permission": row, "form": tried.get(row.pk) or pause_form(row.pk), "open": row.pk in tried}
            for row in own_permissions(landholder, today).filter(state=State.GRANTED)
        ],
        "paused": Permission.objects.filter(sites__in=sites, state=State.PAUSED).distinct(),
        "answers": landholder.answers.select_related("report", "settled"),
        "withdrawable": withdrawable(landholder, today),
        "concern_form": ConcernForm(),
    }


def report_context(row: IssuedReport, landholder: Landholder, key: str) -> dict[str, Any]:
    """One report with its photographs, what was answered, and the form to sign where something comes back."""
    report = from_data(row.content)
    return {
        "row": row,
        "report": report,
        "key": key,
        "photo_urls": landholder_photo_urls(report, key, row.pk),
        "confirm_form": ConfirmForm() if row.kind == Kind.RETURNS else None,
        "answers": row.answers.filter(landholder=landholder),
    }
