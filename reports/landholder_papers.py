"""Papers that a landholder is or was asked to sign, with the addresses where that is done; shown behind a code only."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from permissions.models import Landholder
from reports.models import PaperSigner, SignatureRequest
from reports.paper_links import paper_key_of
from reports.papers import papers_for
from reports.sign_links import sign_key_of


@dataclass(frozen=True)
class PaperRow:
    """One paper: what it is, how it stands, and its address while that opens."""

    title: str
    number: str
    status: str
    word: str
    url: str = ""
    waits: bool = False


def paper_rows(landholder: Landholder, at: datetime) -> list[PaperRow]:
    """Settlements and title papers that were made out to them, and agreements; those that wait for them first."""
    rows = [_paper(signer, at) for signer in papers_for(landholder)]
    asked = SignatureRequest.objects.filter(landholder=landholder, revoked_at=None)
    rows += [_agreement(row, at) for row in asked.select_related("issue", "signature").order_by("-pk")]
    return sorted(rows, key=lambda row: not row.waits)


def _paper(signer: PaperSigner, at: datetime) -> PaperRow:
    paper = signer.paper
    sheet = f", {paper.sheet.title}" if paper.sheet else ""
    title = f"{paper.get_kind_display()}{sheet}"
    url = reverse("reports:by_paper", args=[paper_key_of(signer)]) if signer.expires_at > at else ""
    if (signature := getattr(signer, "signature", None)) is not None:
        return PaperRow(
            title,
            paper.number,
            "done",
            _("You signed it on %(day)s") % {"day": _day(signature.signed_at)},
            url,
        )
    if signer.disputed_at is not None:
        word = _("You did not agree on %(day)s; the club looks into it") % {"day": _day(signer.disputed_at)}
        return PaperRow(title, paper.number, "late", word, url)
    return _waiting(title, paper.number, url)


def _agreement(row: SignatureRequest, at: datetime) -> PaperRow:
    title, number = _("Agreement to search"), row.issue.number
    url = reverse("reports:sign", args=[sign_key_of(row)]) if row.expires_at > at else ""
    if (signature := getattr(row, "signature", None)) is not None:
        return PaperRow(
            title, number, "done", _("You signed it on %(day)s") % {"day": _day(signature.signed_at)}, url
        )
    if row.declined_at is not None:
        return PaperRow(
            title, number, "late", _("You declined on %(day)s") % {"day": _day(row.declined_at)}, url
        )
    return _waiting(title, number, url)


def _waiting(title: str, number: str, url: str) -> PaperRow:
    if not url:
        return PaperRow(
            title, number, "plain", _("Not signed, and the time for it is over: please ask the club")
        )
    return PaperRow(title, number, "ask", _("Waits for your signature"), url, waits=True)


def _day(moment: datetime) -> str:
    return date_format(localtime(moment), "j F Y")


def papers_context(landholder: Landholder, key: str, *, at: datetime) -> dict[str, Any]:
    return {"key": key, "rows": paper_rows(landholder, at)}


def papers_told(landholder: Landholder, at: datetime) -> str:
    """What the page says of papers without a code: that there are some, never what is in them."""
    rows = paper_rows(landholder, at)
    waiting = sum(row.waits for row in rows)
    if not rows:
        return ""
    if waiting:
        return (
            _("1 paper waits for your signature.")
            if waiting == 1
            else _("%(waiting)s papers wait for your signature.") % {"waiting": waiting}
        )
    return _("Nothing waits for your signature.")
