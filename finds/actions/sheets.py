"""Make, change, replace and pay settlement sheets. Sending and signing them is for reports, which hold the text."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.actions.sheet_finds import one_permission, refuse_elsewhere, terms_then
from finds.actions.worth import club_currency, waive
from finds.models import Find, Sheet, SheetPayment, SheetRow, SheetShare
from finds.settlement import SettlementError, Share, check_whole, in_minor_units
from finds.sheets import (
    finds_on,
    landholder_key,
    landholders_then,
    refuse_held,
    settling,
    still_to_pay,
    sum_in_words,
    terms_data,
    terms_day,
    terms_from,
)
from finds.states import SHEET_MOVES, SheetState
from people import audit
from people.models import Club, User
from people.rights import Right, require
from permissions.terms import Sharing
from web.states import check_move


@transaction.atomic
def make_sheet(find_ids: Iterable[int], *, by: User, at: datetime, client_id: UUID, title: str) -> Sheet:
    """Put finds under one permission on a new sheet, with the terms as they stood on the day of the hunt.

    Raises SettlementError for finds of two permissions, of days with different terms, under a running case, without
    a landholder on record, or on another live sheet, naming them.
    """
    require(by, Right.SETTLE)
    number = _next_number(at)  # locks the club's row, so that sheets are made one after another
    if (there := Sheet.objects.filter(client_id=client_id).first()) is not None:
        return there
    finds = list(settling(Find.objects.filter(pk__in=list(find_ids), withdrawn_at=None)).order_by("number"))
    permission = one_permission(finds)
    refuse_held(finds)
    refuse_elsewhere(finds)
    sharing, changed = terms_then(permission, finds)
    day = terms_day(finds)
    note = (
        _("Changed in %(permission_reference)s since; these are the terms of the day.")
        % {"permission_reference": permission.reference}
        if changed
        else ""
    )
    sheet = Sheet.objects.create(
        client_id=client_id, number=number, title=title, permission=permission, currency=club_currency(),
        terms=terms_data(sharing), terms_on=day, terms_note=note, made_at=at, made_by=by,
    )  # fmt: skip
    _fill(sheet, finds)
    audit.record("settlement.make", sheet, by=by, at=at, finds=[find.number for find in finds])
    return sheet


def _next_number(at: datetime) -> str:
    Club.objects.get_or_create(pk=1, defaults={"name": "Club"})
    Club.objects.select_for_update().get(pk=1)
    return f"S{at.year}-{Sheet.objects.filter(number__startswith=f'S{at.year}-').count() + 1:03}"


def _fill(sheet: Sheet, finds: list[Find]) -> None:
    people = landholders_then(finds)
    if not people:
        raise SettlementError(
            _("No owner or occupier of %(site)s is on record for %(hunt_on)s; add them to the site.")
            % {"site": finds[0].site, "hunt_on": date_format(finds[0].hunt.on, "j F Y")}
        )
    try:
        with transaction.atomic():
            SheetRow.objects.bulk_create(SheetRow(sheet=sheet, find=find) for find in finds)
    except IntegrityError as error:
        raise SettlementError(
            _("Somebody put one of these finds on another sheet a moment ago; look at the list.")
        ) from error
    whole = Decimal(100) if len(people) == 1 else Decimal(0)
    SheetShare.objects.bulk_create(SheetShare(sheet=sheet, landholder=one, percent=whole) for one in people)


def locked_sheet(sheet_id: int) -> Sheet:
    """The sheet under lock. Inside a transaction."""
    return Sheet.objects.select_for_update(of=("self",)).select_related("permission").get(pk=sheet_id)


def _draft(sheet_id: int, by: User) -> Sheet:
    require(by, Right.SETTLE)
    sheet = locked_sheet(sheet_id)
    if sheet.state != SheetState.DRAFT:
        raise SettlementError(
            _("%(sheet_number)s was sent, so its text stands; replace it to change something.")
            % {"sheet_number": sheet.number}
        )
    return sheet


@transaction.atomic
def change_sheet(
    sheet_id: int,
    *,
    by: User,
    at: datetime,
    way: str,
    shares: Mapping[int, Decimal],
    terms: Sharing,
    terms_note: str,
    waive_rest: bool = False,
) -> Sheet:
    """Change a draft: the landholders' shares, how opinions are joined, and the terms where the trail misses one.

    Raises SettlementError for shares that do not make 100 per cent, and for other terms without the reason.
    """
    sheet = _draft(sheet_id, by)
    rows = list(sheet.shares.select_related("landholder"))
    for row in rows:
        row.percent = shares.get(row.landholder_id, row.percent)
    check_whole(
        [Share(landholder_key(r.landholder_id), r.landholder.name, r.percent) for r in rows],
        _("the landholders"),
    )
    if terms != terms_from(sheet.terms) and not terms_note:
        raise SettlementError(
            _("The terms are not those on record for the day; say where the others are agreed.")
        )
    SheetShare.objects.bulk_update(rows, ["percent"])
    sheet.way, sheet.terms, sheet.terms_note = way, terms_data(terms), terms_note
    sheet.save(update_fields=["way", "terms", "terms_note"])
    waived = waive(finds_on(sheet), by=by, at=at) if waive_rest else 0
    audit.record("settlement.change", sheet, by=by, at=at, terms=sheet.terms, waived=waived)
    return sheet


@transaction.atomic
def take_off_sheet(sheet_id: int, find_id: int, *, by: User, at: datetime) -> Sheet:
    """Take a find off a draft. Taking it off twice is once; the last one stays on."""
    sheet = _draft(sheet_id, by)
    row = sheet.rows.filter(find=find_id).select_related("find").first()
    if row is None:
        return sheet
    if sheet.rows.count() == 1:
        raise SettlementError(
            _("%(find_number)s is the last find on %(sheet_number)s; give the sheet up instead.")
            % {"find_number": row.find.number, "sheet_number": sheet.number}
        )
    audit.record("settlement.take_off", sheet, by=by, at=at, find=row.find.number)
    row.delete()
    return sheet


@transaction.atomic
def replace_sheet(sheet_id: int, *, by: User, at: datetime, why: str) -> Sheet:
    """Give a draft up, or end a sent sheet and make a new draft of the same finds; returns the one that goes on.

    What was paid on the old sheet counts on the new one. Replacing it twice gives the same new draft.
    """
    require(by, Right.SETTLE)
    sheet = locked_sheet(sheet_id)
    was_sent = sheet.state != SheetState.DRAFT
    if sheet.state == SheetState.REPLACED:
        return Sheet.objects.filter(replaces=sheet).first() or sheet
    check_move(SHEET_MOVES, SheetState(sheet.state), SheetState.REPLACED)
    sheet.state, sheet.ended_why = SheetState.REPLACED, why
    sheet.save(update_fields=["state", "ended_why"])
    sheet.rows.update(live=False)
    audit.record("settlement.replace", sheet, by=by, at=at, why=why)
    return _next_of(sheet, by=by, at=at) if was_sent else sheet


def _next_of(old: Sheet, *, by: User, at: datetime) -> Sheet:
    new = Sheet.objects.create(
        number=_next_number(at), title=old.title, permission=old.permission, currency=old.currency, way=old.way,
        terms=old.terms, terms_on=old.terms_on, terms_note=old.terms_note, replaces=old, made_at=at, made_by=by,
    )  # fmt: skip
    rows = old.rows.filter(find__withdrawn_at=None)
    SheetRow.objects.bulk_create(SheetRow(sheet=new, find_id=row.find_id) for row in rows)
    shares = old.shares.all()
    SheetShare.objects.bulk_create(
        SheetShare(sheet=new, landholder_id=s.landholder_id, percent=s.percent) for s in shares
    )
    audit.record("settlement.make", new, by=by, at=at, replaces=old.number)
    return new


def move_sheet(sheet: Sheet, to: SheetState, *, by: User | None, at: datetime, via: str = "") -> None:
    """Take a locked sheet to another state; nothing happens where it is there already. Inside a transaction."""
    if sheet.state == to:
        return
    check_move(SHEET_MOVES, SheetState(sheet.state), to)
    sheet.state = to
    sheet.save(update_fields=["state"])
    audit.record(f"settlement.{to.value}", sheet, by=by, at=at, via=via)


@transaction.atomic
def record_payment(
    sheet_id: int,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    payer: str,
    payee: str,
    amount: Decimal,
    on: date,
    how: str,
) -> SheetPayment:
    """Record money that changed hands on a settled sheet. Raises SettlementError for more than is still to pay."""
    require(by, Right.SETTLE)
    sheet = locked_sheet(sheet_id)
    if (there := SheetPayment.objects.filter(client_id=client_id).first()) is not None:
        return there
    if sheet.state != SheetState.SETTLED:
        raise SettlementError(
            _("%(sheet_number)s is not signed by everybody yet, so nothing is paid on it.")
            % {"sheet_number": sheet.number}
        )
    amount = in_minor_units(amount, sheet.currency, what="Payment")
    _check_owed(sheet, payer, payee, amount)
    row = SheetPayment.objects.create(
        client_id=client_id,
        sheet=sheet,
        payer=payer,
        payee=payee,
        amount=amount,
        on=on,
        how=how,
        at=at,
        by=by,
    )
    audit.record("settlement.pay", sheet, by=by, at=at, payer=payer, payee=payee, amount=str(amount))
    return row


def _check_owed(sheet: Sheet, payer: str, payee: str, amount: Decimal) -> None:
    left = still_to_pay(sheet).get((payer, payee), Decimal(0))
    if amount > left:
        words = [sum_in_words(each, sheet.currency) for each in (amount, left)]
        raise SettlementError(
            _("%(words)s is more than the %(value)s that is still to pay here; give that or less.")
            % {"words": words[0], "value": words[1]}
        )
