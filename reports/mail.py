"""E-mails of the reports app: plain text with an HTML alternative, sent only after all is kept, never with a place."""

from datetime import date
from functools import partial
from typing import Any

from django.core.mail import EmailMultiAlternatives
from django.db import transaction
from django.template.loader import render_to_string

from people.models import Club, RoleHeld, User
from people.rights import Role


def letter(to: str, message: str, reply_to: str = "", **facts: Any) -> EmailMultiAlternatives:
    """The e-mail made of reports/mail/<message>_subject.txt, <message>.txt and <message>.html."""
    club = Club.objects.filter(pk=1).first()
    context = {"club_name": club.name if club else "The club", **facts}
    subject = " ".join(render_to_string(f"reports/mail/{message}_subject.txt", context).split())
    words = render_to_string(f"reports/mail/{message}.txt", context)
    mail = EmailMultiAlternatives(subject, words, to=[to], reply_to=[reply_to] if reply_to else None)
    mail.attach_alternative(render_to_string(f"reports/mail/{message}.html", context), "text/html")
    return mail


def post(to: str, message: str, reply_to: str = "", **facts: Any) -> None:
    """Send `letter` once the transaction is kept. A mail server that fails costs the mail, never what was saved."""
    mail = letter(to, message, reply_to, **facts)
    transaction.on_commit(partial(mail.send), robust=True)


def secretaries(on: date) -> list[User]:
    """Members who hold the secretary's role on `on`."""
    held = RoleHeld.objects.current(on).filter(role=Role.SECRETARY).values("user")
    return list(User.objects.members_on(on).filter(pk__in=held, is_active=True).order_by("pk"))
