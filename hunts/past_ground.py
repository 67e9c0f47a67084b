"""The ground of an outing from before the club's records: what is kept of each site, for the entry and for a look."""

from datetime import date

from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from hunts.errors import HuntError
from permissions.models import Boundary, Site


def check_day_past(on: date, *, today: date) -> None:
    """Raises HuntError for a day that is not past."""
    if on >= today:
        raise HuntError(
            _("%(on)s is not past; plan a hunt for it instead.") % {"on": date_format(on, "j M Y")}
        )


def boundary_then(site: Site, on: date) -> Boundary:
    """What an outing of that day keeps of the site: its boundary of the day, or the first that was drawn.

    Raises HuntError for a site without a boundary.
    """
    drawn = list(site.boundaries.all())  # the newest first
    if not drawn:
        raise HuntError(
            _("%(site)s has no boundary yet; draw it first, so that finds can be placed.") % {"site": site}
        )
    return next((each for each in drawn if localdate(each.drawn_at) <= on), drawn[-1])
