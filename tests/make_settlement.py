"""Makers of valuations, settlement sheets and papers."""

from collections.abc import Iterable
from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

from django.utils.timezone import localdate, now

from finds.actions import add_valuation, make_sheet, set_fate
from finds.models import Find, FindFate, Sheet, Valuation
from people.models import User
from reports.actions import send_sheet, send_title, sign_paper
from reports.agreements import digest_of
from reports.build.title import title_report
from reports.models import Paper, PaperSignature, PaperSigner
from reports.papers import Asked, club_name, read_find, sheet_drafts, signed_text, title_number

PDF = b"%PDF-1.7 test"


def address_of(key: str) -> str:
    return f"https://club.example/p/{key}/"


def valuation(find: Find, low: str, *, by: User, **fields: Any) -> Valuation:
    values = {"on": localdate(), "valuer": "E. Voss", "method": "seen in the hand"} | fields
    high = Decimal(values.pop("high", low))
    key = values.pop("client_id", uuid4())
    return add_valuation(find.pk, by=by, at=now(), client_id=key, low=Decimal(low), high=high, **values)


def valued(find: Find, value: str, *, by: User) -> Find:
    """Two opinions that agree."""
    for valuer in ("E. Voss", "R. Hale"):
        valuation(find, value, by=by, valuer=valuer)
    return find


def fate(find: Find, word: str, *, by: User, **fields: Any) -> FindFate:
    values = {"client_id": uuid4(), "on": localdate()} | fields
    return set_fate(find.pk, by=by, at=now(), fate=word, **values)


def sheet(finds: Iterable[Find], *, by: User, **fields: Any) -> Sheet:
    values = {"client_id": uuid4(), "title": "Finds of a hunt"} | fields
    return make_sheet([find.pk for find in finds], by=by, at=now(), **values)


def sent(row: Sheet, *, by: User) -> Sheet:
    drafts = sheet_drafts(row, localdate())
    when = {"at": now(), "expires_at": now() + timedelta(30)}
    return send_sheet(row.pk, drafts, [PDF] * len(drafts), by=by, address_of=address_of, **when)


def signers(row: Sheet) -> list[PaperSigner]:
    return list(PaperSigner.objects.filter(paper__sheet=row).select_related("paper").order_by("pk"))


def sign(signer: PaperSigner, *, by: User | None = None, **fields: Any) -> PaperSignature:
    """Sign what is asked: by the account of a person who has one, else by the address."""
    values: dict[str, Any] = {
        "via": "own account" if signer.user_id else "paper link",
        "client_id": uuid4(),
        "name": signer.name,
        "read_sha256": digest_of(signed_text(signer)),
        "drawn": [],
    }
    return sign_paper(signer.pk, by=by or signer.user, at=now(), **(values | fields))


def settled(row: Sheet, *, by: User) -> Sheet:
    sent(row, by=by)
    for signer in signers(row):
        sign(signer)
    row.refresh_from_db()
    return row


def title(find: Find, *, by: User, signers: list[Asked] | None = None, **fields: Any) -> Paper:
    given = {
        "kind": "transfer",
        "giver": find.finder.name,
        "receiver": "Ada Warp",
        "consideration": "nothing: a gift",
        "effective": localdate().isoformat(),
        "by_state": False,
        "authority": "",
    } | fields
    report = title_report(
        read_find(find.pk), given, club_name(), number=title_number(find, given["kind"]), on=localdate()
    )
    asked = signers or [Asked("giver", find.finder.name, user=find.finder), Asked("receiver", "Ada Warp")]
    when = {"at": now(), "expires_at": now() + timedelta(30)}
    return send_title(
        find.pk, given, report, PDF, asked, by=by, client_id=uuid4(), address_of=address_of, **when
    )
