"""Freeze papers about finds and ask people to sign them: a sheet with one paper a party, a title paper with its two."""

import hashlib
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.files.base import ContentFile
from django.db import transaction
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.actions.sheets import locked_sheet, move_sheet
from finds.models import Find, Sheet
from finds.settlement import SettlementError
from finds.sheets import figures_of, finds_on, names_of, work_out
from finds.states import SheetState
from people import audit
from people.models import User
from people.rights import Right, require
from reports.blocks import Report
from reports.content import digest, to_data
from reports.mail import post
from reports.models import Paper, PaperKind, PaperSigner
from reports.paper_links import paper_key_of
from reports.papers import (
    Asked,
    PaperDraft,
    club_name,
    drafts_sha256,
    refuse_title,
    sheet_drafts,
)
from web.files import private_name

Address = Callable[[str], str]


def _freeze(report: Report, pdf: bytes, *, by: User, at: datetime, **about: Any) -> Paper:
    row = Paper(
        number=report.number,
        content=to_data(report),
        content_sha256=digest(report),
        pdf_sha256=hashlib.sha256(pdf).hexdigest(),
        issued_at=at,
        issued_by=by,
        **about,
    )
    row.pdf.save(private_name("paper", "pdf"), ContentFile(pdf), save=False)
    try:
        with transaction.atomic():
            row.save()
    except BaseException:
        row.pdf.storage.delete(row.pdf.name)  # no row names it, so nothing may keep it
        raise
    audit.record("paper.issue", row, by=by, at=at, sha256=row.content_sha256)
    return row


def _ask(paper: Paper, asked: Asked, *, at: datetime, expires_at: datetime, by: User, to: Address) -> None:
    email = asked.landholder.email if asked.landholder else asked.user.email if asked.user else ""
    signer = PaperSigner.objects.create(
        paper=paper, role=asked.role, name=asked.name, user=asked.user, landholder=asked.landholder,
        expires_at=expires_at, sent_at=at if email else None,
    )  # fmt: skip
    if email:
        facts = {"paper": paper, "signer": signer, "sender": by.name, "address": to(paper_key_of(signer))}
        post(email, "paper", reply_to=by.email, **facts)


@transaction.atomic
def send_sheet(
    sheet_id: int,
    drafts: Sequence[PaperDraft],
    pdfs: Sequence[bytes],
    *,
    by: User,
    at: datetime,
    expires_at: datetime,
    address_of: Address,
) -> Sheet:
    """Freeze a draft sheet with its papers and ask both sides to sign. Sent twice it is sent once.

    Raises SettlementError when somebody changed what it rests on since `drafts` were made, or it cannot be settled.
    """
    require(by, Right.SETTLE)
    sheet = locked_sheet(sheet_id)
    if sheet.state != SheetState.DRAFT:
        return sheet
    _hold_finds(sheet)
    if drafts_sha256(drafts) != drafts_sha256(sheet_drafts(sheet, localdate(at))):
        raise SettlementError(
            _(
                "Somebody changed a value, a share or the terms a moment ago. Read the sums below again, then "
                "send them."
            )
        )
    finds = finds_on(sheet)
    sheet.figures = figures_of(work_out(sheet, finds), names_of(sheet, finds, club_name()))
    sheet.sent_at = at
    sheet.save(update_fields=["figures", "sent_at"])
    for draft, pdf in zip(drafts, pdfs, strict=True):
        about = {"kind": PaperKind.SETTLEMENT, "sheet": sheet, "party": draft.party}
        paper = _freeze(draft.report, pdf, by=by, at=at, **about)
        for asked in draft.signers:
            _ask(paper, asked, at=at, expires_at=expires_at, by=by, to=address_of)
    move_sheet(sheet, SheetState.SENT, by=by, at=at)
    return sheet


def _hold_finds(sheet: Sheet) -> None:
    """Lock the finds: a value or a fate that came between comparing and keeping would stand in the figures unread."""
    rows = Find.objects.filter(sheet_rows__sheet=sheet).order_by("pk")
    list(rows.select_for_update(of=("self",)).values_list("pk"))


@transaction.atomic
def send_title(
    find_id: int,
    given: dict[str, Any],
    report: Report,
    pdf: bytes,
    signers: Sequence[Asked],
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    expires_at: datetime,
    address_of: Address,
) -> Paper:
    """Freeze a transfer or a disclaimer about a find and ask its parties to sign. The same form twice is one paper.

    Raises SettlementError while a heritage case holds the find, for a withdrawn record, and for one made meanwhile.
    """
    require(by, Right.SETTLE)
    find = Find.objects.select_for_update(of=("self",)).get(pk=find_id)
    if (there := Paper.objects.filter(client_id=client_id).first()) is not None:
        return there
    refuse_title(find, given)
    if Paper.objects.filter(number=report.number).exists():
        raise SettlementError(
            _("%(report_number)s was made by somebody else a moment ago; look at it first.")
            % {"report_number": report.number}
        )
    about = {"kind": given["kind"], "find": find, "given": given, "client_id": client_id}
    paper = _freeze(report, pdf, by=by, at=at, **about)
    for asked in signers:
        _ask(paper, asked, at=at, expires_at=expires_at, by=by, to=address_of)
    return paper


@transaction.atomic
def renew_signer(signer_id: int, *, by: User, at: datetime, expires_at: datetime) -> PaperSigner:
    """Let an address that has run out, or was taken back, work again until `expires_at`."""
    require(by, Right.SETTLE)
    row = PaperSigner.objects.select_for_update(of=("self",)).select_related("paper").get(pk=signer_id)
    row.expires_at, row.revoked_at = expires_at, None
    row.save(update_fields=["expires_at", "revoked_at"])
    audit.record("paper.renew", row.paper, by=by, at=at, signer=row.pk)
    return row


@transaction.atomic
def revoke_signer(signer_id: int, *, by: User, at: datetime) -> PaperSigner:
    """End the address at once; a signature given stays. Twice keeps the first time."""
    require(by, Right.SETTLE)
    row = PaperSigner.objects.select_for_update(of=("self",)).select_related("paper").get(pk=signer_id)
    if row.revoked_at is None:
        row.revoked_at = at
        row.save(update_fields=["revoked_at"])
        audit.record("paper.take_back", row.paper, by=by, at=at, signer=row.pk)
    return row
