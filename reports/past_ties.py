"""What was issued about a past outing, and so has to stay as it was said."""

from django.db.models import Q
from django.utils.translation import gettext as _

from hunts.models import Hunt
from hunts.past_ties import Tied
from reports.models import IssuedReport, Paper


def reports_hold(hunt: Hunt) -> Tied:
    """Day, field and permission once a report or a paper named them to somebody outside the club."""
    issued = IssuedReport.objects.filter(Q(hunt=hunt) | Q(case__finds__hunt=hunt))
    numbers = [
        *issued.order_by("pk").values_list("number", flat=True)[:1],
        *Paper.objects.filter(find__hunt=hunt).order_by("pk").values_list("number", flat=True)[:1],
    ]
    if not numbers:
        return Tied()
    why = _("It stays: %(number)s was issued with it.") % {"number": numbers[0]}
    return Tied(dict.fromkeys(["on", "sites", "past_basis", "permission"], why))
