"""E-mails about hunts. They leave only after the transaction has been kept, and carry no place of any find."""

from collections.abc import Iterable
from functools import partial
from typing import Any

from django.core.mail import send_mail
from django.db import transaction
from django.template.loader import render_to_string

from hunts.models import Hunt
from people.models import Club, User


def tell(people: Iterable[User], message: str, hunt: Hunt, **facts: Any) -> None:
    """Send each of `people` the templates hunts/mail/<message>.txt and <message>_subject.txt once all is kept.

    A mail server that fails costs the mail, never what was saved.
    """
    club = Club.objects.filter(pk=1).first()
    for person in people:
        context = {"person": person, "hunt": hunt, "club_name": club.name if club else "Your club", **facts}
        subject = " ".join(render_to_string(f"hunts/mail/{message}_subject.txt", context).split())
        body = render_to_string(f"hunts/mail/{message}.txt", context)
        transaction.on_commit(partial(send_mail, subject, body, None, [person.email]), robust=True)
