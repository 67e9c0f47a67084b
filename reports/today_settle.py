"""Sections of Today about settling: what waits for one's own signature, and sheets that somebody has to act on."""

from datetime import datetime

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from finds.models import Sheet
from finds.states import SheetState
from people.models import User
from people.rights import Right
from reports.models import PaperSigner
from reports.today_sections import Found, Item, first_of


def to_sign(user: User, at: datetime) -> Found:
    """Papers that this person is asked to sign and has neither signed nor disputed, the longest waiting first."""

    def item(signer: PaperSigner) -> Item:
        words = _("sent %(paper_issued_at)s") % {
            "paper_issued_at": date_format(localtime(signer.paper.issued_at), "j M Y")
        }
        title = f"{signer.paper.get_kind_display()} {signer.paper.number}"
        return Item("soon", title, words, reverse("reports:paper", args=[signer.paper_id]))

    rows = PaperSigner.objects.visible_to(user).filter(
        user=user, signature=None, disputed_at=None, revoked_at=None
    )
    live = rows.exclude(paper__sheet__state=SheetState.REPLACED)
    return first_of(live.select_related("paper").order_by("paper__issued_at", "pk"), item)


def sheets(user: User, at: datetime) -> Found:
    """Disputed sheets, and drafts that were begun, for those who settle."""
    if not user.holds(Right.SETTLE):
        return Found()

    def item(sheet: Sheet) -> Item:
        disputed = sheet.state == SheetState.DISPUTED
        words = _("is disputed: talk, then replace it") if disputed else _("is a draft that waits to be sent")
        return Item(
            "late" if disputed else "plain", sheet.number, words, reverse("reports:sheet", args=[sheet.pk])
        )

    rows = Sheet.objects.visible_to(user).filter(state__in=[SheetState.DISPUTED, SheetState.DRAFT])
    return first_of(rows.order_by("state", "made_at"), item)
