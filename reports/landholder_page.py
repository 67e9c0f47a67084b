"""What one landholder may read: their land, their reports, the next visits, and what they answered."""

from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.utils.timezone import localdate

from hunts.models import Hunt
from permissions.models import Landholder, Permission, Site
from permissions.models.site import Capacity
from permissions.states import State
from reports.forms import ConcernForm, PauseForm
from reports.models import IssuedReport, Kind

MAY_PAUSE = [Capacity.OWNER, Capacity.OCCUPIER, Capacity.AGENT]


def sites_of(landholder: Landholder, on: Any) -> QuerySet[Site]:
    """Sites where this landholder has a say on that day."""
    from permissions.models import SiteParty

    parties = SiteParty.objects.on(on).filter(landholder=landholder)
    return Site.objects.filter(pk__in=parties.values("site"))


def pausable(landholder: Landholder) -> QuerySet[Permission]:
    """Granted permissions that this landholder may pause: as owner, occupier or agent of one of the sites."""
    sites = Site.objects.filter(parties__landholder=landholder, parties__capacity__in=MAY_PAUSE)
    return Permission.objects.filter(sites__in=sites, state=State.GRANTED).distinct()


def reports_for(landholder: Landholder) -> QuerySet[IssuedReport]:
    """Reports that were issued to this landholder; never a heritage report."""
    return (
        IssuedReport.objects.filter(landholder=landholder).exclude(kind=Kind.HERITAGE).select_related("hunt")
    )


def page_context(landholder: Landholder, key: str, *, at: datetime) -> dict[str, Any]:
    today = localdate(at)
    sites = sites_of(landholder, today)
    coming = Hunt.objects.filter(sites__in=sites).coming(today).distinct().select_related("leader")
    return {
        "landholder": landholder,
        "key": key,
        "sites": sites,
        "coming": coming.prefetch_related("sites"),
        "reports": reports_for(landholder),
        "pausable": pausable(landholder),
        "paused": Permission.objects.filter(sites__in=sites, state=State.PAUSED).distinct(),
        "answers": landholder.answers.select_related("report", "settled"),
        "concern_form": ConcernForm(),
        "pause_form": PauseForm(),
    }
