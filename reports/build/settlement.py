"""A settlement sheet in words: the terms, every step of the arithmetic, what each is due, and who pays whom."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils.translation import gettext as _

from finds.models import Find, Sheet
from finds.rewards import Given, given_for
from finds.settlement import Line, Settlement
from finds.sheets import (
    finder_key,
    last_fate,
    names_of,
    sum_in_words,
    terms_from,
    work_out,
)
from permissions.terms import long_date
from permissions.terms.sharing_words import sharing_in_words
from reports.blocks import (
    Block,
    Bullets,
    Column,
    Fact,
    Heading,
    Notice,
    NoticeKind,
    Paragraph,
    Report,
    SignatureBox,
    Table,
    say_columns,
)
from tongue import figure, noop

STATEMENT = noop("I have read this settlement and agree to it. What is paid as it says is settled for good.")
MONEY = (Column(noop("Step")), Column(noop("Amount"), numeric=True))
REWARD = (Column(noop("Who")), Column(noop("Share"), numeric=True), Column(noop("Amount"), numeric=True))


@dataclass(frozen=True, slots=True)
class Worked:
    """A sheet with its finds, its answer and the names of its parties: read once, written for each party."""

    sheet: Sheet
    finds: Sequence[Find]
    answer: Settlement
    names: Mapping[str, str]
    club: str
    rewards: Sequence[Given] = ()

    def money(self, amount: Decimal) -> str:
        return sum_in_words(amount, self.sheet.currency)

    def name(self, key: str) -> str:
        return self.names.get(key, key)

    @property
    def finders(self) -> list[str]:
        return list(dict.fromkeys(finder_key(find.finder_id) for find in self.finds))


def worked(sheet: Sheet, finds: Sequence[Find], club: str) -> Worked:
    """Raises SettlementError where the sheet cannot be settled as it stands."""
    rewards = [given for given in given_for(finds) if given.reward]
    return Worked(sheet, finds, work_out(sheet, finds), names_of(sheet, finds, club), club, rewards)


def settlement_report(w: Worked, party: str, *, number: str, on: date) -> Report:
    """The whole sheet, or what concerns one `party`: a finder's own objects, a landholder's all with their amounts."""
    finds = [f for f in w.finds if not _is_finder(party) or finder_key(f.finder_id) == party]
    lines = [line for line in w.answer.lines if not party or _concerns(line, party, w)]
    permission = w.sheet.permission
    facts = (
        Fact(_("Agreement"), permission.reference),
        Fact(_("Terms of"), long_date(w.sheet.terms_on)),
        Fact(_("For"), w.name(party) if party else _("Everybody on the sheet")),
    )
    blocks: list[Block] = [*_terms(w), _objects(w, finds), *_sums(w, lines, party), *_result(w, party)]
    if party:
        blocks.append(SignatureBox(_(STATEMENT), (w.name(party), _("For %(w_club)s") % {"w_club": w.club})))
    return Report(
        kind="settlement",
        number=number,
        title=_("Settlement of finds"),
        subtitle=w.sheet.title,
        club=w.club,
        issued_on=on,
        facts=facts,
        blocks=tuple(blocks),
    )


def _is_finder(party: str) -> bool:
    return party.startswith("user:")


def _concerns(line: Line, party: str, w: Worked) -> bool:
    own = {find.number for find in w.finds if finder_key(find.finder_id) == party}
    return not _is_finder(party) or bool(own & set(line.refs))


def _terms(w: Worked) -> list[Block]:
    words = sharing_in_words(terms_from(w.sheet.terms), w.sheet.currency)
    way = _("the middle one (median)") if w.sheet.way == "median" else _("their mean")
    more = _("Where there are several opinions of value, %(way)s counts; a range counts as its middle.") % {
        "way": way
    }
    note = [Paragraph(w.sheet.terms_note)] if w.sheet.terms_note else []
    return [Heading(_("What was agreed")), Paragraph(f"{words} {more}"), *note]


def _objects(w: Worked, finds: Sequence[Find]) -> Block:
    columns = (
        Column(_("Number")),
        Column(_("Object")),
        Column(_("Found by")),
        Column(_("Value rests on")),
        Column(_("Fate")),
    )
    rows = tuple((f.number, _thing(f), f.finder.name, _basis(f, w), _fate(f)) for f in finds)
    return Table(_("The objects"), columns, rows)


def _thing(find: Find) -> str:
    return f"{find.count} × {find.object_type}" if find.count > 1 else find.object_type


def _basis(find: Find, w: Worked) -> str:
    fate = last_fate(find)
    if fate is not None and fate.price is not None:
        return _("sold for %(money)s") % {"money": w.money(fate.price)}
    words = [
        f"{v.valuer}, {long_date(v.on)}, {v.method}: {w.money(v.low)}"
        + (_(" to %(money)s") % {"money": w.money(v.high)} if v.high != v.low else "")
        for v in find.standing  # type: ignore[attr-defined]
    ]
    return "; ".join(words) or _("no opinion asked for")


def _fate(find: Find) -> str:
    fate = last_fate(find)
    if fate is None:
        return _("the finder keeps it")
    keeper = f" ({fate.keeper.name})" if fate.keeper else ""
    words = f": {fate.words}" if fate.words else ""
    return f"{fate.get_fate_display().lower()}{keeper}{words}"


def _sums(w: Worked, lines: Sequence[Line], party: str) -> list[Block]:
    blocks: list[Block] = [Heading(_("The sums, step by step"))]
    if not lines:
        return [*blocks, Paragraph(_("None of these objects carries money."))]
    for line in lines:
        title = line.title[:1].upper() + line.title[1:]
        more = f", {', '.join(line.refs)}" if line.refs != (line.title,) else ""
        steps = [(step.words, w.money(step.amount)) for step in line.steps]
        steps += [
            (_("So %(name)s is due") % {"name": name}, amount) for name, amount in _parts(w, line, party)
        ]
        blocks.append(Table(f"{title}{more}", say_columns(MONEY), tuple(steps)))
    return [*blocks, Paragraph(w.answer.remainder_rule)]


def _parts(w: Worked, line: Line, party: str) -> list[tuple[str, str]]:
    """Each part by name; for one finder those of the other finders together, for their finds are their own."""
    rows, others = [], Decimal(0)
    for key, amount in line.parts:
        if _is_finder(party) and _is_finder(key) and key != party:
            others += amount
        else:
            rows.append((w.name(key), w.money(amount)))
    return [*rows, (_("everybody else who found something here"), w.money(others))] if others else rows


def _result(w: Worked, party: str) -> list[Block]:
    answer = w.answer
    keys = [party] if party else list(dict.fromkeys([*dict(answer.due), *dict(answer.held)]))
    due, held = dict(answer.due), dict(answer.held)
    columns = (
        Column(_("Who")),
        Column(_("Is due"), numeric=True),
        Column(_("Holds in objects"), numeric=True),
    )
    rows = tuple((w.name(k), w.money(due.get(k, Decimal(0))), w.money(held.get(k, Decimal(0)))) for k in keys)
    blocks: list[Block] = [Heading(_("What it comes to")), Table(_("Due and held"), columns, rows)]
    paid = [p for p in answer.payments if not party or party in (p.payer, p.payee)]
    payments = tuple(
        _("%(payer)s pays %(payee)s %(amount)s.")
        % {"payer": w.name(p.payer), "payee": w.name(p.payee), "amount": w.money(p.amount)}
        for p in paid
    )
    blocks.append(Bullets(payments) if payments else Paragraph(_("Nobody pays anything.")))
    return [*blocks, *_apart(w, party), *_care(w, party)]


def _apart(w: Worked, party: str) -> list[Block]:
    own = {f.number for f in w.finds if not _is_finder(party) or finder_key(f.finder_id) == party}
    rows = tuple(f"{ref}: {why}." for ref, why in w.answer.apart if ref in own)
    listed: list[Block] = [Heading(_("Without money")), Bullets(rows)] if rows else []
    return [*listed, *_rewards(w, own)]


def _rewards(w: Worked, own: set[str]) -> list[Block]:
    """Rewards for the finds in `own`, with the authority's shares: told here, and in none of the sums above."""
    rest = _("A reward that an authority pays is no part of this sheet; it is shared as that authority says.")
    told = [each for each in w.rewards if own & set(each.refs)]
    if not told:
        return [Paragraph(rest)]
    return [
        Heading(_("Rewards, apart from this sheet")),
        *(_reward(each, own) for each in told),
        Paragraph(rest),
    ]


def _reward(given: Given, own: set[str]) -> Block:
    refs = ", ".join(ref for ref in given.refs if ref in own)
    total = sum_in_words(given.reward or Decimal(0), given.currency)
    parts = tuple(
        (who, f"{figure(f'{percent.normalize():f}')} %", sum_in_words(amount, given.currency))
        for who, percent, amount in given.parts
    )
    return Table(
        _("%(refs)s, case %(given_case)s: %(total)s, decided %(long_date)s")
        % {"refs": refs, "given_case": given.case, "total": total, "long_date": long_date(given.on)},
        say_columns(REWARD),
        parts,
    )


def _care(w: Worked, party: str) -> list[Block]:
    own = {f.number for f in w.finds if not _is_finder(party) or finder_key(f.finder_id) == party}
    warnings = [words for words in w.answer.warnings if words.split(" ", 1)[0] in own]
    return [Notice(NoticeKind.CAUTION, words) for words in warnings]
