"""What people do about letters: send one again, put one aside, choose what they are sent."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from people import audit
from people.letter_kinds import OPTIONAL, LetterKind
from people.mail_choices import account_with, address_hash
from people.models import Letter, MailStop, User
from people.rights import Right, require


class LetterError(Exception):
    """The letter cannot be sent again; the sentence says why."""


def _locked(letter_id: int, at: datetime) -> Letter | None:
    """The letter, if somebody has to decide about it now."""
    return Letter.objects.to_look_at(at).select_for_update(of=("self",)).filter(pk=letter_id).first()


@transaction.atomic
def send_letter_again(letter_id: int, *, by: User, at: datetime) -> Letter:
    """Put a letter that was given up or perhaps sent back into the queue. Twice is once.

    Raises LetterError for one whose words are gone.
    """
    require(by, Right.MANAGE_CLUB)
    row = _locked(letter_id, at)
    if row is None:
        return Letter.objects.get(pk=letter_id)
    if not row.text:
        raise LetterError(
            _(
                "The words of “%(row_subject)s” were deleted after 30 days. Write to %(row_to)s "
                "yourself, then put it aside."
            )
            % {"row_subject": row.subject, "row_to": row.to}
        )
    if row.expires_at is not None and row.expires_at <= at:
        raise LetterError(
            _("“%(row_subject)s” was true until %(row_expires_at)s; it is not sent any more. Put it aside.")
            % {"row_subject": row.subject, "row_expires_at": date_format(row.expires_at, "j F Y")}
        )
    row.claimed_at, row.is_unsure, row.gave_up_at = None, False, None
    row.tries, row.next_try_at, row.trouble = 0, at, Letter.Trouble.NONE
    row.save()
    audit.record("letter.again", row, by=by, at=at, label=row.words)
    return row


@transaction.atomic
def close_letter(letter_id: int, *, by: User, at: datetime) -> Letter:
    """Put aside a letter that did not leave or perhaps did; it is not sent any more. Twice keeps the first time."""
    require(by, Right.MANAGE_CLUB)
    row = _locked(letter_id, at)
    if row is None:
        return Letter.objects.get(pk=letter_id)
    row.gave_up_at = row.gave_up_at or at
    row.closed_at, row.text, row.html = at, "", ""
    row.save()
    audit.record("letter.close", row, by=by, at=at, label=row.words)
    return row


@transaction.atomic
def choose_mail(wanted: Iterable[LetterKind], *, by: User, at: datetime, among: Iterable[LetterKind]) -> None:
    """Keep which of the optional kinds `among` this account wants."""
    chosen, hashed = set(wanted), address_hash(by.email)
    for kind in among:
        set_mail(hashed, kind, kind in chosen, via="account", at=at)


@transaction.atomic
def choose_mail_by_link(
    address: str, wanted: Iterable[LetterKind], *, via: str, at: datetime, among: Iterable[LetterKind]
) -> None:
    """Keep which of the optional kinds `among` an address without an account wants."""
    chosen, hashed = set(wanted), address_hash(address)
    for kind in among:
        set_mail(hashed, kind, kind in chosen, via=via, at=at)


@transaction.atomic
def set_mail(hashed: str, kind: LetterKind, wanted: bool, *, via: str, at: datetime) -> None:
    """Turn an optional kind on or off for the address with this hash. Twice is once."""
    if kind not in OPTIONAL:
        raise ValueError(f"{kind} is a duty and cannot be turned off.")
    if kind is LetterKind.DIGEST:
        _set_digest(hashed, wanted, via=via, at=at)
        return
    if wanted:
        for row in MailStop.objects.filter(address_sha256=hashed, kind=kind):
            audit.record("mail.on", row, by=None, via=via, at=at, label=kind.label)
            row.delete()
        return
    row, made = MailStop.objects.get_or_create(address_sha256=hashed, kind=kind, defaults={"at": at})
    if made:
        audit.record("mail.off", row, by=None, via=via, at=at, label=kind.label)


def _set_digest(hashed: str, wanted: bool, *, via: str, at: datetime) -> None:
    account = account_with(hashed)
    if account is not None and account.wants_digest != wanted:
        account.wants_digest = wanted
        account.save(update_fields=["wants_digest"])
        audit.record(f"mail.{'on' if wanted else 'off'}", account, by=None, via=via, at=at, label="digest")


@transaction.atomic
def carry_mail_choices(old: str, new: str, *, by: User, at: datetime) -> None:
    """Somebody's address changed: what they turned off stays off."""
    there = MailStop.objects.filter(address_sha256=address_hash(new)).values("kind")
    rows = MailStop.objects.filter(address_sha256=address_hash(old))
    rows.exclude(kind__in=list(there.values_list("kind", flat=True))).update(address_sha256=address_hash(new))


@transaction.atomic
def forget_address(address: str, *, by: User, at: datetime) -> None:
    """Take an erased person's address and words out of the outbox; what had not left does not leave."""
    rows = Letter.objects.filter(to__iexact=address)
    rows.unsettled().update(gave_up_at=at, closed_at=at)
    rows.update(to="", reply_to="", subject="(erased)", text="", html="", last_error="")
