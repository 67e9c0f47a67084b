"""Sign or dispute a paper: on one's own page, by the address, or on paper with the secretary's word for it."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.actions.sheets import locked_sheet, move_sheet
from finds.models import Find, Sheet
from finds.states import LIVE_SHEETS, SheetState
from people import audit
from people.languages import speaking
from people.models import User
from people.rights import Right, require
from reports.actions.agreements import AgreementError
from reports.actions.signing import OutdatedError
from reports.agreements import digest_of
from reports.mail import post, secretaries
from reports.models import PaperSignature, PaperSigner
from reports.papers import is_current, signed_text, statement_of


def _locked(signer_id: int, *, at: datetime, by: User | None) -> PaperSigner:
    """The signer, with the sheet or the find locked, so that neither values nor another signature move meanwhile."""
    paper = PaperSigner.objects.select_related("paper").get(pk=signer_id).paper
    if paper.sheet_id is not None:
        locked_sheet(paper.sheet_id)
    elif paper.find_id is not None:
        Find.objects.select_for_update(of=("self",)).get(pk=paper.find_id)
    rows = PaperSigner.objects.select_for_update(of=("self",))
    row = rows.select_related("paper__sheet", "paper__find", "landholder").get(pk=signer_id)
    if by is not None and row.user_id != by.pk:
        raise PermissionDenied(_("Only the person asked signs here."))
    if by is None and (row.revoked_at is not None or row.expires_at <= at):
        raise AgreementError(_("This address no longer signs. Please ask the club for a new one."))
    return row


@transaction.atomic
def sign_paper(
    signer_id: int,
    *,
    by: User | None,
    via: str,
    at: datetime,
    client_id: UUID,
    name: str,
    read_sha256: str,
    drawn: list[Any],
) -> PaperSignature:
    """Sign: keeps the exact text. `by` is the person with an account, or None for the address. Twice is once.

    Raises OutdatedError when the text read is not the text as it stands, the records changed, or a case was opened;
    AgreementError for an address that was taken back; PermissionDenied for another person's signature.
    """
    row = _locked(signer_id, at=at, by=by)
    there = PaperSignature.objects.filter(signer=row).first()
    if there is not None:
        return there
    text = signed_text(row)
    if read_sha256 != digest_of(text):
        raise OutdatedError(
            _("The text that was signed is not the text on record, so nothing was signed. Read it again.")
        )
    return _sign(row, text, by=by, via=via, at=at, client_id=client_id, name=name, drawn=drawn)


def _sign(
    row: PaperSigner,
    text: str,
    *,
    by: User | None,
    via: str,
    at: datetime,
    client_id: UUID,
    name: str,
    drawn: list[Any],
    recorded_by: User | None = None,
) -> PaperSignature:
    if not is_current(row.paper):
        raise OutdatedError(
            _(
                "A value, the terms or the record was changed after this was sent, or a heritage case holds a find, "
                "so it was not signed. The club sends you the new text."
            )
        )
    signature = PaperSignature.objects.create(
        client_id=client_id, signer=row, name=name, statement=statement_of(row), text=text,
        text_sha256=digest_of(text), drawn=drawn, via=via, recorded_by=recorded_by, signed_at=at,
    )  # fmt: skip
    said: dict[str, Any] = {"signer": row.pk, "sha256": signature.text_sha256}
    audit.record("paper.sign", row.paper, by=by or recorded_by, via=via, at=at, **said)
    if row.disputed_at is not None:
        row.disputed_at = None  # the words stay beside it
        row.save(update_fields=["disputed_at"])
    if row.paper.sheet_id is not None:
        _match_sheet(row.paper.sheet_id, by=by or recorded_by, at=at, via=via)
    return signature


@transaction.atomic
def signed_on_paper(
    signer_id: int, *, by: User, at: datetime, client_id: UUID, name: str, where_kept: str
) -> PaperSignature:
    """Record that the printed text was signed by hand, and where that sheet of paper is kept."""
    require(by, Right.SETTLE)
    row = _locked(signer_id, at=at, by=None)
    there = PaperSignature.objects.filter(signer=row).first()
    if there is not None:
        return there
    with speaking(""):
        via = (_("on paper: %(where_kept)s") % {"where_kept": where_kept})[:60]
    return _sign(
        row,
        signed_text(row),
        by=None,
        via=via,
        at=at,
        client_id=client_id,
        name=name,
        drawn=[],
        recorded_by=by,
    )


@transaction.atomic
def dispute_paper(signer_id: int, *, by: User | None, via: str, at: datetime, why: str) -> PaperSigner:
    """Keep that the signer does not agree; their last words count. Raises AgreementError once signed."""
    row = _locked(signer_id, at=at, by=by)
    if PaperSignature.objects.filter(signer=row).exists():
        raise AgreementError(
            _("You have signed %(paper_number)s. Tell the club what is wrong; it can be replaced.")
            % {"paper_number": row.paper.number}
        )
    if row.disputed_at is not None and row.disputed_why == why:
        return row
    row.disputed_at, row.disputed_why = at, why
    row.save(update_fields=["disputed_at", "disputed_why"])
    audit.record("paper.dispute", row.paper, by=by, via=via, at=at, signer=row.pk, why=why)
    if row.paper.sheet_id is not None:
        _match_sheet(row.paper.sheet_id, by=by, at=at, via=via)
    for person in secretaries(localdate(at)):
        post(person.email, "paper_disputed", person=person, signer=row, paper=row.paper)
    return row


def _match_sheet(sheet_id: int, *, by: User | None, at: datetime, via: str) -> None:
    """Take the sheet to the state that its signers make: disputed while one disputes, settled when all have signed."""
    sheet = Sheet.objects.get(pk=sheet_id)
    if sheet.state not in LIVE_SHEETS:
        return
    rows = list(PaperSigner.objects.filter(paper__sheet=sheet).select_related("signature"))
    signed = sum(hasattr(row, "signature") for row in rows)
    if any(row.disputed_at is not None for row in rows):
        to = SheetState.DISPUTED
    elif signed == len(rows):
        to = SheetState.SETTLED
    else:
        to = SheetState.PART if signed else SheetState.SENT
    move_sheet(sheet, to, by=by, at=at, via=via)


@transaction.atomic
def paper_opened(signer: PaperSigner, *, via: str, at: datetime) -> None:
    """Note when the text was first opened, so that the secretary sees whether it was read."""
    PaperSigner.objects.filter(pk=signer.pk, opened_at=None).update(opened_at=at)
