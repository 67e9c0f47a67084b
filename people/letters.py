"""Write letters into the outbox, inside the transaction of what they tell; they leave after it is kept."""

import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from email.utils import parseaddr
from functools import partial
from typing import Any
from uuid import uuid4

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import IntegrityError, transaction
from django.template import TemplateDoesNotExist
from django.template.loader import get_template, render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _

from people.languages import language_of, speaking
from people.letter_kinds import RULES, LetterKind
from people.mail_choices import address_hash, stop_url, unwanted
from people.mail_message import club_name, one_line
from people.models import Letter
from people.outbox import send_soon
from web.days import months_named


@dataclass(frozen=True)
class Draft:
    """A letter before it is in the outbox. It has no attachments: nothing confidential leaves in one."""

    to: str
    kind: LetterKind
    subject: str
    text: str
    html: str
    reply_to: str = ""
    expires_at: datetime | None = None
    dedupe_key: str = ""


def compose(
    to: str,
    kind: LetterKind,
    template: str,
    facts: dict[str, Any],
    *,
    reply_to: str = "",
    expires_at: datetime | None = None,
    dedupe_key: str = "",
    language: str = "",
) -> Draft:
    """The letter made of <template>_subject.txt, <template>.txt and <template>.html.

    Without the last its HTML part is made of the plain words. Both parts end with why the letter comes and, where it
    may be turned off, with how. It is in `language`, else in that of whoever it is for, as the facts name them.
    """
    named = facts if "club_name" in facts else {"club_name": club_name(), **facts}
    with speaking(language or language_of(facts)), months_named():
        context = {**named, "sent_because": RULES[kind].why, "stop_url": stop_url(to, kind)}
        subject, text, html = _written(template, context)
    return Draft(
        to=to,
        kind=kind,
        subject=subject,
        text=text,
        html=html,
        reply_to=reply_to,
        expires_at=expires_at,
        dedupe_key=dedupe_key,
    )


def _written(template: str, context: dict[str, Any]) -> tuple[str, str, str]:
    """Subject, plain words and HTML."""
    words = render_to_string(f"{template}.txt", context).strip()
    foot = render_to_string("people/mail/_foot.txt", context).strip()
    subject = one_line(render_to_string(f"{template}_subject.txt", context))
    return subject, f"{words}\n\n-- \n{foot}\n", _html(template, {**context, "plain_words": words})


def _html(template: str, context: dict[str, Any]) -> str:
    try:
        return get_template(f"{template}.html").render(context)
    except TemplateDoesNotExist as error:
        if str(error) != f"{template}.html":
            raise
        return render_to_string("people/mail/plain.html", context)


@transaction.atomic
def queue(drafts: Iterable[Draft], *, soon: bool = True) -> list[Letter]:
    """Keep the letters in the outbox; with `soon` they are tried once as soon as all is kept.

    What an address has turned off is left out, and so is a letter whose `dedupe_key` is there already. An address
    that is none costs the letter, never what was saved: it stands among those that were given up.
    """
    chosen = list(drafts)
    off = unwanted(draft.to for draft in chosen if not RULES[draft.kind].is_duty)
    rows = [_row(draft) for draft in chosen if (address_hash(draft.to), draft.kind.value) not in off]
    made = Letter.objects.bulk_create(row for row in rows if not row.dedupe_key)
    made += [row for row in rows if row.dedupe_key and _kept_first(row)]
    waiting = [row.pk for row in made if row.gave_up_at is None]
    if soon and waiting:
        transaction.on_commit(partial(send_soon, waiting, clock=timezone.now), robust=True)
    return made


def take_back(key: str, *, at: datetime) -> None:
    """What waits with a `dedupe_key` that begins so is out of date: it is not sent any more."""
    rows = Letter.objects.waiting().filter(dedupe_key__startswith=key)
    rows.update(gave_up_at=at, is_out_of_date=True, text="", html="")


def _kept_first(row: Letter) -> bool:
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        if not Letter.objects.filter(dedupe_key=row.dedupe_key).exists():
            raise
        return False
    return True


def _row(draft: Draft) -> Letter:
    domain = parseaddr(settings.DEFAULT_FROM_EMAIL)[1].rpartition("@")[2] or "localhost"
    row = Letter(
        kind=draft.kind,
        to=draft.to[:254],
        reply_to=draft.reply_to[:254] if _is_address(draft.reply_to) else "",
        subject=draft.subject,
        text=draft.text,
        html=draft.html,
        message_id=f"<{uuid4().hex}.{secrets.token_hex(4)}@{domain}>",
        dedupe_key=draft.dedupe_key,
    )
    if draft.expires_at is not None:
        row.expires_at = draft.expires_at if draft.expires_at > row.made_at else row.made_at
    if not _is_address(draft.to):
        row.gave_up_at, row.trouble = row.made_at, Letter.Trouble.NEVER
        with speaking(""):
            row.last_error = (_("“%(draft_to)s” is not an e-mail address.") % {"draft_to": draft.to})[:300]
    return row


def _is_address(text: str) -> bool:
    try:
        validate_email(text)
    except ValidationError:
        return False
    return True
