"""The e-mail that a row of the outbox becomes: its headers, its two parts and its sender."""

from email.utils import format_datetime, formataddr, parseaddr

from django.conf import settings
from django.core.mail import EmailMultiAlternatives
from django.utils import timezone
from django.utils.translation import gettext as _

from people.letter_kinds import LetterKind
from people.mail_choices import stop_url
from people.models import Club, Letter


def club_name() -> str:
    club = Club.objects.filter(pk=1).first()
    return club.name if club else _("Your club")


def one_line(text: str) -> str:
    """A subject is one line of printable characters, whatever somebody typed as a name."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())[:250]


def message_of(letter: Letter, sender: str) -> EmailMultiAlternatives:
    """The e-mail as it leaves: plain and HTML, the same Message-ID and date at every try, and RFC 8058's headers."""
    kind = LetterKind(letter.kind)
    headers = {
        "Message-ID": letter.message_id,
        "Date": format_datetime(timezone.localtime(letter.made_at)),
        "Auto-Submitted": "auto-generated",  # RFC 3834: no holiday reply, please
    }
    if stop := stop_url(letter.to, kind):
        headers["List-Unsubscribe"] = f"<{stop}>"
        headers["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
    reply_to = [one_line(letter.reply_to)] if letter.reply_to else None
    mail = EmailMultiAlternatives(
        letter.subject, letter.text, sender, [letter.to], reply_to=reply_to, headers=headers
    )
    mail.attach_alternative(letter.html, "text/html")
    return mail


def sender_now() -> str:
    """The club's name before the address, unless the setting has a name of its own."""
    name, address = parseaddr(settings.DEFAULT_FROM_EMAIL)
    return settings.DEFAULT_FROM_EMAIL if name else formataddr((one_line(club_name()), address))
