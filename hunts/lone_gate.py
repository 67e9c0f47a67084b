"""What the gate says about one person alone on one of the club's sites."""

from datetime import datetime

from django.utils.timezone import localtime

from hunts.models import LoneHunt
from permissions.gate import Decision
from permissions.gate_facts import answers_for


def lone_gate(lone: LoneHunt, *, at: datetime) -> Decision | None:
    """The decision for its site, or None for ground that is not one of the club's. No landholder is named."""
    if lone.site is None:
        return None
    out, back = localtime(lone.out_at), localtime(lone.due_back)
    same_day = out.date() == back.date()
    answers = answers_for(
        [lone.site],
        out.date(),
        people=[lone.user],
        heads=1,
        starts_at=out.time(),
        ends_at=back.time() if same_day else None,
        decided_at=at,
    )
    return answers[lone.site.pk]
