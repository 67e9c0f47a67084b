"""Send the alarms about people who are late, each once."""

from datetime import datetime

from django.db import transaction
from django.utils.timezone import localdate

from hunts.actions.locks import locked_hunt
from hunts.late import names_out, runners, step_due
from hunts.mail import alarm, no_alarm
from hunts.models import LateNotice, LoneHunt
from people import audit


@transaction.atomic
def alarm_about_hunt(hunt_id: int, *, via: str, at: datetime) -> LateNotice | None:
    """Tell the leader, at the last step everybody who runs hunts, who is still out. None where that was done.

    The letters stand in the outbox with the notice: both are kept or neither, and the outbox tries until they left.
    """
    hunt = locked_hunt(hunt_id)
    names, step = names_out(hunt), step_due(hunt.finishes, at)
    if not names:
        no_alarm(hunt, at=at)
    if not names or step is None:
        return None
    if LateNotice.objects.filter(hunt=hunt, due_at=hunt.finishes, minutes__gte=step).exists():
        return None
    people = [hunt.leader, *(runners(localdate(at)) if step > 30 else ())]
    to = {person.email for person in people}
    alarm(to, "late_hunt", at=at, about=hunt, hunt=hunt, names=names, minutes=step)
    audit.record("hunt.late_alarm", hunt, by=None, via=via, at=at, minutes=step, out=len(names), told=len(to))
    return LateNotice.objects.create(
        hunt=hunt, minutes=step, due_at=hunt.finishes, sent_at=at, sent_to=len(to)
    )


@transaction.atomic
def alarm_about_lone_hunt(lone_id: int, *, via: str, at: datetime) -> LateNotice | None:
    """Tell the named contact and the person; at the last step, or without a contact's e-mail, all who run hunts."""
    lone: LoneHunt = (
        LoneHunt.objects.select_for_update(of=("self",)).select_related("user", "site").get(pk=lone_id)
    )
    step = step_due(lone.due_back, at)
    if lone.back_at is not None or step is None:
        return None
    if LateNotice.objects.filter(lone=lone, due_at=lone.due_back, minutes__gte=step).exists():
        return None
    to = {lone.user.email, lone.contact_email} - {""}
    if step > 30 or not lone.contact_email:
        to |= {person.email for person in runners(localdate(at))}
    alarm(to, "late_lone", at=at, about=lone, lone=lone, minutes=step)
    audit.record("lone.late_alarm", lone, by=None, via=via, at=at, minutes=step, told=len(to))
    return LateNotice.objects.create(
        lone=lone, minutes=step, due_at=lone.due_back, sent_at=at, sent_to=len(to)
    )
