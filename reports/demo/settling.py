"""Two settlement sheets of the demo: one that all have signed and was paid, one that waits for the landholder."""

from datetime import datetime, timedelta
from decimal import Decimal
from random import Random

from django.utils.timezone import localdate

from finds import actions
from finds.models import Find, Sheet
from finds.sheets import still_to_pay, terms_from
from hunts.models import Hunt
from people.models import User
from reports.actions import send_sheet, sign_paper
from reports.agreements import digest_of
from reports.demo.land import client_id
from reports.models import PaperSigner
from reports.papers import sheet_drafts, signed_text
from reports.pdf import render_pdf

OPINIONS = (("Ida Drift, finds officer", "seen in the hand", 1), ("R. Hale, dealer", "by photograph", 1.1))
WORTH = (620, 24)  # pounds of the best find and of the next: one that is shared, one below the threshold
BEST = "strap end"  # the demo's finds are plain; this kind can carry such a price


def make_settlements(secretary: User, hunts: list[Hunt], at: datetime, rng: Random) -> None:
    """Settle two of `hunts` with finds that nobody asks the law about, those with a find of price first."""
    chosen = sorted((_four(hunt) for hunt in hunts), key=lambda four: [_rank(find) for find in four[:1]])
    for place, finds in enumerate([four for four in chosen if len(four) == 4][:2]):
        sheet = _sheet(secretary, finds[0].hunt, finds, at - timedelta(days=6 - place), rng)
        _signed(sheet, secretary, at - timedelta(days=3), rng, by_all=place == 0)


def _four(hunt: Hunt) -> list[Find]:
    free = Find.objects.filter(hunt=hunt, locked=False, withdrawn_at=None, cases=None)
    return sorted(free.select_related("hunt"), key=_rank)[:4]


def _rank(find: Find) -> tuple[bool, str]:
    return find.object_type != BEST, find.number


def _sheet(secretary: User, hunt: Hunt, finds: list[Find], at: datetime, rng: Random) -> Sheet:
    for find, pounds in zip(finds, WORTH, strict=False):
        for valuer, method, times in OPINIONS:
            low = Decimal(int(pounds * times) + rng.randrange(0, 12, 2))
            actions.add_valuation(
                find.pk, by=secretary, at=at, client_id=client_id(rng), on=localdate(at), valuer=valuer,
                method=method, low=low, high=low + pounds // 12,
            )  # fmt: skip
    sheet = actions.make_sheet(
        [find.pk for find in finds], by=secretary, at=at, client_id=client_id(rng), title=str(hunt)
    )
    rows = list(sheet.shares.all())
    parts = {row.landholder_id: Decimal(0) for row in rows} | {rows[0].landholder_id: Decimal(100)}
    if len(rows) > 1:
        parts |= {rows[0].landholder_id: Decimal(60), rows[1].landholder_id: Decimal(40)}
    terms = terms_from(sheet.terms)
    actions.change_sheet(
        sheet.pk, by=secretary, at=at, way="mean", shares=parts, terms=terms, terms_note="", waive_rest=True
    )
    sheet.refresh_from_db()
    drafts = sheet_drafts(sheet, localdate(at))
    return send_sheet(
        sheet.pk, drafts, [render_pdf(draft.report, {}) for draft in drafts], by=secretary, at=at,
        expires_at=at + timedelta(days=60), address_of=lambda key: f"https://club.example/p/{key}/",
    )  # fmt: skip


def _signed(sheet: Sheet, secretary: User, at: datetime, rng: Random, *, by_all: bool) -> None:
    """The finders sign, and for `by_all` the landholders too, and the first payment is made."""
    signers = PaperSigner.objects.filter(paper__sheet=sheet).select_related("paper").order_by("pk")
    for signer in signers:
        if by_all or signer.user is not None:
            sign_paper(
                signer.pk, by=signer.user, via="own account" if signer.user else "paper link", at=at,
                client_id=client_id(rng), name=signer.name, read_sha256=digest_of(signed_text(signer)), drawn=[],
            )  # fmt: skip
    sheet.refresh_from_db()
    owed = still_to_pay(sheet)
    if by_all and owed:
        (payer, payee), amount = next(iter(owed.items()))
        actions.record_payment(
            sheet.pk, by=secretary, at=at, client_id=client_id(rng), payer=payer, payee=payee, amount=amount,
            on=localdate(at), how="bank transfer",
        )  # fmt: skip
