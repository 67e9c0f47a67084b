"""What the pages of settlement sheets show: the list, a draft with its sums, a sheet that was sent."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.safestring import SafeString
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from finds.models import Find, Sheet
from finds.settlement import SettlementError
from finds.sheets import finds_on, last_fate, paid_on, still_to_pay, sum_in_words
from finds.states import LIVE_SHEETS, SheetState
from hunts.models import Hunt
from people.languages import speaking
from people.models import User
from people.rights import Right
from permissions.landholder_page import code_of
from permissions.models import Landholder, SiteParty
from permissions.models.site import Capacity
from reports.content import from_data
from reports.models import Paper, PaperSigner
from reports.paper_links import paper_key_of
from reports.papers import PaperDraft, drafts_sha256, sheet_drafts
from reports.settle_forms import CHOSEN, HUNT, PaidForm, ReasonForm, SheetForm, SheetSendForm
from reports.title_forms import HandSignedForm
from tongue import noop

WORDS = {
    SheetState.DRAFT: ("plain", noop("Draft")),
    SheetState.SENT: ("ask", noop("Sent, nobody has signed yet")),
    SheetState.PART: ("soon", noop("Signed by some")),
    SheetState.SETTLED: ("done", noop("Settled: all have signed")),
    SheetState.DISPUTED: ("late", noop("Disputed")),
    SheetState.REPLACED: ("shut", noop("Replaced or given up")),
}


@dataclass(frozen=True)
class SignerRow:
    """One who signs, as the secretary sees it; the address while it can still be used."""

    signer: PaperSigner
    status: str
    word: str
    address: str = ""
    code: SafeString | None = None


def signer_row(signer: PaperSigner, *, at: datetime, absolute: Callable[[str], str]) -> SignerRow:
    if (signature := getattr(signer, "signature", None)) is not None:
        word = _("Signed %(day)s by %(signature_name)s, %(signature_via)s") % {
            "day": _day(signature.signed_at),
            "signature_name": signature.name,
            "signature_via": signature.via,
        }
        return SignerRow(signer, "done", word)
    if signer.revoked_at is not None:
        return SignerRow(signer, "plain", _("Address taken back %(day)s") % {"day": _day(signer.revoked_at)})
    if signer.expires_at <= at:
        return SignerRow(
            signer, "late", _("The address worked until %(day)s") % {"day": _day(signer.expires_at)}
        )
    address = absolute(reverse("reports:by_paper", args=[paper_key_of(signer)]))
    if signer.disputed_at is not None:
        return SignerRow(
            signer,
            "late",
            _("Not agreed %(day)s") % {"day": _day(signer.disputed_at)},
            address,
            code_of(address),
        )
    opened = _("opened %(day)s, ") % {"day": _day(signer.opened_at)} if signer.opened_at else ""
    word = _("Not signed yet; %(opened)sworks until %(day)s") % {
        "opened": opened,
        "day": _day(signer.expires_at),
    }
    return SignerRow(signer, "ask", word, address, code_of(address))


def _day(moment: datetime) -> str:
    return date_format(localtime(moment), "j M Y")


def sheet_rows(user: User) -> list[dict[str, Any]]:
    """The sheets this person may see, newest first, with their state in words."""
    rows = Sheet.objects.visible_to(user).select_related("permission")[:200]
    return [
        {
            "sheet": sheet,
            "status": WORDS[SheetState(sheet.state)][0],
            "word": _(WORDS[SheetState(sheet.state)][1]),
            "total": _total(sheet) if user.holds(Right.SETTLE) else "",
        }
        for sheet in rows
    ]


def _total(sheet: Sheet) -> str:
    total = sheet.figures.get("total")
    return sum_in_words(Decimal(total), sheet.currency) if total else "–"


def own_papers(user: User) -> list[PaperSigner]:
    """What this person is or was asked to sign, newest first."""
    rows = PaperSigner.objects.filter(user=user).select_related("paper__sheet", "signature")
    return list(rows.order_by("-pk")[:200])


@speaking("")
def finds_for(values: dict[str, Any], user: User) -> tuple[list[int], str]:
    """The finds that a form chose, and a title. Of a hunt or a time, those locked or on another sheet stay out."""
    if values["basis"] == CHOSEN:
        finds: list[Find] = values["finds"]
        title = _("Finds %(finds)s") % {"finds": ", ".join(find.number for find in finds)}
        return [find.pk for find in finds], title[:200]
    live = Find.objects.visible_to(user).exclude(sheet_rows__live=True).exclude(locked=True)
    if values["basis"] == HUNT:
        hunt: Hunt = values["hunt"]
        return list(live.filter(hunt=hunt).values_list("pk", flat=True)), f"{hunt}"[:200]
    landholder: Landholder = values["landholder"]
    first, last = values["first"], values["last"]
    rows = live.filter(hunt__on__range=(first, last)).values_list("pk", "site", "hunt__on")
    parties = SiteParty.objects.filter(
        landholder=landholder, capacity__in=[Capacity.OWNER, Capacity.OCCUPIER]
    )
    held: dict[int, list[SiteParty]] = {}
    for party in parties:
        held.setdefault(party.site_id, []).append(party)
    chosen = [pk for pk, site, on in rows if any(p.has_say_on(on) for p in held.get(site, []))]
    return chosen, _("%(landholder_name)s, %(first)s to %(last)s") % {
        "landholder_name": landholder.name,
        "first": date_format(first, "j M Y"),
        "last": date_format(last, "j M Y"),
    }


def drafted(sheet: Sheet, on: date) -> tuple[list[PaperDraft], str]:
    """The papers as they would be sent, or what stands in the way in words."""
    try:
        return sheet_drafts(sheet, on), ""
    except SettlementError as error:
        return [], str(error)


def draft_context(sheet: Sheet, *, on: date, **forms: Any) -> dict[str, Any]:
    drafts, problem = drafted(sheet, on)
    return {
        "sheet": sheet,
        "finds": [_find_row(find, sheet) for find in finds_on(sheet)],
        "problem": problem,
        "report": drafts[0].report if drafts else None,
        "read_sha256": drafts_sha256(drafts) if drafts else "",
        "signers": [asked for draft in drafts for asked in draft.signers],
        "photo_urls": {},
        "form": forms.get("form") or SheetForm(sheet=sheet),
        "send_form": forms.get("send_form") or SheetSendForm(auto_id="send-%s"),
        "reason_form": forms.get("reason_form") or ReasonForm(auto_id="why-%s"),
    }


def _find_row(find: Find, sheet: Sheet) -> dict[str, Any]:
    fate = last_fate(find)
    values = [sum_in_words(v.low, v.currency) for v in find.standing]  # type: ignore[attr-defined]
    if fate is not None and fate.price is not None:
        values = [_("sold for %(sum_in_words)s") % {"sum_in_words": sum_in_words(fate.price, sheet.currency)}]
    fate_words = fate.get_fate_display() if fate else _("The finder keeps it")
    asked = _("; nobody asks anything") if fate and fate.waived else ""
    return {"find": find, "values": ", ".join(values) or _("none yet"), "fate": f"{fate_words}{asked}"}


def sent_context(
    sheet: Sheet, *, at: datetime, on: date, absolute: Callable[[str], str], **forms: Any
) -> dict[str, Any]:
    """A sheet that was sent: its text, who has signed, what is paid and what is still to pay."""
    papers = sheet.papers.prefetch_related("signers__signature", "signers__landholder")
    whole = next(paper for paper in papers if not paper.party)
    signers = [signer for paper in papers for signer in paper.signers.all()]
    left = still_to_pay(sheet) if sheet.state == SheetState.SETTLED else {}
    pairs = [(f"{p}>{q}", _pays(sheet, p, q, amount)) for (p, q), amount in left.items()]
    status, word = WORDS[SheetState(sheet.state)]
    return {
        "sheet": sheet,
        "status": status,
        "word": _(word),
        "paper": whole,
        "report": from_data(whole.content),
        "photo_urls": {},
        "rows": [signer_row(signer, at=at, absolute=absolute) for signer in signers],
        "paid": [{"row": r, "words": _paid(sheet, r)} for r in paid_on(sheet)],
        "left": [words for _rest, words in pairs],
        "paid_form": (forms.get("paid_form") or PaidForm(pairs=pairs, today=on)) if pairs else None,
        "hand_form": HandSignedForm,
        "reason_form": forms.get("reason_form") or ReasonForm(auto_id="why-%s"),
        "is_live": sheet.state in LIVE_SHEETS,
        "next": getattr(sheet, "replaced_by", None),
    }


def paid_form(sheet: Sheet, data: Any, on: date) -> PaidForm:
    pairs = [(f"{p}>{q}", _pays(sheet, p, q, a)) for (p, q), a in still_to_pay(sheet).items()]
    return PaidForm(data, pairs=pairs, today=on)


def _pays(sheet: Sheet, payer: str, payee: str, amount: Decimal) -> str:
    names = sheet.figures.get("names", {})
    words = sum_in_words(amount, sheet.currency)
    return _("%(payer)s pays %(payee)s %(amount)s") % {
        "payer": names.get(payer, payer),
        "payee": names.get(payee, payee),
        "amount": words,
    }


def _paid(sheet: Sheet, row: Any) -> str:
    names = sheet.figures.get("names", {})
    return _("%(payer)s paid %(payee)s %(amount)s by %(how)s") % {
        "payer": names.get(row.payer, row.payer),
        "payee": names.get(row.payee, row.payee),
        "amount": sum_in_words(row.amount, sheet.currency),
        "how": row.how,
    }


def own_context(sheet: Sheet, user: User) -> dict[str, Any]:
    """What a finder sees of a sheet that was sent: their own papers and nothing of anybody else's."""
    status, word = WORDS[SheetState(sheet.state)]
    papers: Any = Paper.objects.filter(sheet=sheet, signers__user=user)
    return {"sheet": sheet, "status": status, "word": _(word), "papers": list(papers)}
