"""What the outbox page shows: how many letters stand where, and the rows of the last 30 days without their words."""

from datetime import datetime, timedelta
from typing import Any

from django.db.models import Case, F, Q, QuerySet, Value, When
from django.utils.translation import gettext as _

from people.hand_over_link import reaches_nobody
from people.models import Letter
from tongue import noop

SHOWN = timedelta(days=30)


def outbox_context(at: datetime) -> dict[str, Any]:
    """Counts, the letters to decide about, and `rows`: every other letter of the last days, the newest first."""
    recent = Letter.objects.filter(made_at__gt=at - SHOWN)
    to_look_at = Letter.objects.to_look_at(at)
    waiting = Letter.objects.waiting()
    in_trouble = waiting.filter(trouble=Letter.Trouble.SERVER).order_by("-failed_at").first()
    return {
        "to_look_at": with_state(to_look_at.defer("text", "html"), at)[:100],
        "figures": [
            (_("to decide about"), to_look_at.count()),
            ("waiting", waiting.count()),
            ("sent", recent.filter(sent_at__isnull=False).count()),
            (_("too late to be sent"), recent.filter(is_out_of_date=True).count()),
        ],
        "in_trouble": in_trouble,
        "leaves": not reaches_nobody(),
        "rows": with_state(recent.exclude(pk__in=to_look_at.values("pk")).defer("text", "html"), at),
    }


def with_state(rows: QuerySet[Letter], at: datetime) -> QuerySet[Letter]:
    """Each letter with `state` in words, and with whom it is for as the club knows them."""
    perhaps = Letter.objects.perhaps_sent(at).values("pk")
    state = Case(
        When(sent_at__isnull=False, then=Value(noop("sent"))),
        When(is_out_of_date=True, then=Value(noop("too late"))),
        When(gave_up_at__isnull=False, then=Value(noop("not sent"))),
        When(Q(pk__in=perhaps), then=Value(noop("perhaps sent"))),
        When(claimed_at__isnull=False, then=Value(noop("leaving now"))),
        When(trouble="", then=Value(noop("waiting"))),
        default=Value(noop("tried again")),
    )
    return rows.annotate(state=state).order_by(F("made_at").desc(), "-pk")
