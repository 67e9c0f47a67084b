"""Screens one find against one law pack: what may be owed, why, to whom and by when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo

from law import clock
from law.context import Context, make_contexts
from law.derive import fields_behind
from law.facts import FindFacts
from law.model import Exclusion, Pack, Rule
from law.pack import UnknownJurisdictionError
from law.screening import (
    DrillShown,
    DutyFound,
    Excluded,
    Outcome,
    PackUsed,
    RuledOut,
    Screening,
    Strength,
    Unknown,
    Weight,
)
from law.told import Told, points, points_against, ruled_out, tell
from law.tri import Tri
from law.words import question

__all__ = [
    "DutyFound",
    "Excluded",
    "Outcome",
    "RuledOut",
    "Screening",
    "Strength",
    "Unknown",
    "Weight",
    "screen",
    "screen_same_find",
]


def screen(
    facts: FindFacts, *, group: Sequence[FindFacts] = (), pack: Pack, on: date | datetime
) -> Screening:
    """What the law of the pack's place may ask of the finder of `facts`, judged on the day `on`.

    `group` holds the other records of its same find, without the find itself; each says with `same_find`
    whether it surely belongs. `on` is a local day, or an aware time.

    It never says what a thing is. Raises UnknownJurisdictionError when a record names another jurisdiction
    than the pack's, and ValueError when `on` is a time without a zone.
    """
    return _screen(_contexts(pack, (facts, *group))[0], on, facts.digest())


def screen_same_find(
    find: Sequence[FindFacts], *, pack: Pack, on: date | datetime, digests: Sequence[str] = ()
) -> list[Screening]:
    """The screening of every record of one same find, in order; for hoards far quicker than one by one.

    `digests` are those of the facts as they were given, where the caller has them; else they are worked out.
    """
    digests = digests or [facts.digest() for facts in find]
    pairs = zip(_contexts(pack, find), digests, strict=True)
    return [_screen(ctx, on, digest) for ctx, digest in pairs]


def _contexts(pack: Pack, find: Sequence[FindFacts]) -> list[Context]:
    for facts in find:
        if facts.jurisdiction is not None and facts.jurisdiction != pack.code:
            raise UnknownJurisdictionError(facts.jurisdiction)
    return make_contexts(pack, find)


def _screen(ctx: Context, on: date | datetime, digest: str) -> Screening:
    pack = ctx.pack
    today = _day(on, ctx.facts.tz or pack.tz)
    values = {rule.id: ctx.rule(rule.id) for rule in pack.rules}
    open_rules = [rule for rule in pack.rules if values[rule.id] is not Tri.NO]
    told = {rule.id: tell(tuple(points(ctx, rule))) for rule in open_rules}
    duties = [_duty(ctx, rule, values[rule.id], told[rule.id], today) for rule in open_rules]
    unsettled = {rule.id: told[rule.id].missing for rule in open_rules if values[rule.id] is Tri.UNKNOWN}
    return Screening(
        outcome=_outcome(duties),
        duties=tuple(sorted(duties, key=order)),
        ruled_out=tuple(
            ruled_out(pack.code, rule, tuple(points_against(ctx, rule)))
            for rule in pack.rules
            if values[rule.id] is Tri.NO
        ),
        unknowns=_unknowns(ctx, unsettled),
        exclusions=_exclusions(ctx, pack.exclusions),
        cautions=_cautions(pack, ctx, today),
        drills=_drills(pack, open_rules, duties),
        pack_code=pack.code,
        pack_version=pack.version,
        law_as_at=pack.law_as_at,
        facts_digest=digest,
        packs=(used(pack),),
    )


@lru_cache(maxsize=64)
def used(pack: Pack) -> PackUsed:
    """The pack as a screening keeps it."""
    checked_on = pack.checked_on.isoformat()
    return PackUsed(pack.code, pack.version, pack.digest, pack.title, pack.law_as_at, checked_on)


def _day(on: date | datetime, tz: str) -> date:
    if not isinstance(on, datetime):
        return on
    if on.utcoffset() is None:
        raise ValueError(f"{on.isoformat()} has no time zone; give one, or give a date.")
    return on.astimezone(ZoneInfo(tz)).date()


def _outcome(duties: Sequence[DutyFound]) -> Outcome:
    if any(duty.strength is Strength.DUTY for duty in duties):
        return Outcome.DUTY
    return Outcome.POSSIBLE_DUTY if duties else Outcome.NO_DUTY_FOUND


def order(duty: DutyFound) -> tuple[bool, bool, bool]:
    """Stops first, then tests, then what is owed for certain."""
    return (duty.kind != "stop", duty.weight is not Weight.TEST, duty.strength is not Strength.DUTY)


def _duty(ctx: Context, rule: Rule, value: Tri, told: Told, today: date) -> DutyFound:
    facts = ctx.facts
    sure = value is Tri.YES and rule.firm
    is_test = _weight(ctx, rule, value) is Weight.TEST
    tz = facts.tz or ctx.pack.tz
    return _duty_of(
        ctx.pack.code, rule, sure, is_test, told, ctx.found, facts.found_at, _belief(ctx, rule), today, tz
    )


# Made once for all finds of a day whose answer rests on the same: a duty has twenty fields, ten thousand finds sixty
# thousand duties. The flags stand for the enums, whose hash would take longer than the look-up.
@lru_cache(maxsize=1 << 14)
def _duty_of(
    code: str,
    rule: Rule,
    sure: bool,
    is_test: bool,
    told: Told,
    found: date | None,
    found_at: datetime | None,
    belief: date | None,
    today: date,
    tz: str,
) -> DutyFound:
    return DutyFound(
        rule=rule.id,
        clause=rule.clause,
        title=rule.title,
        kind=rule.kind._value_,
        strength=Strength.DUTY if sure else Strength.POSSIBLE,
        weight=Weight.TEST if is_test else Weight.JUDGEMENT,
        why=told.why,
        still_unknown=told.still_unknown,
        duty=rule.duty,
        authority=rule.authority.name,
        authority_how=rule.authority.how,
        due=clock.due(rule.clock, found=found, found_at=found_at, belief=belief, on=today, tz=tz),
        consequence=rule.consequence,
        cautions=rule.cautions,
        source=rule.source,
        checked=rule.checked.label,
        firm=rule.firm,
        pack=code,
        facts=told.facts,
    )


def _belief(ctx: Context, rule: Rule) -> date | None:
    """The day of belief that the rule's clock may count from: as it was said, or the first day on which what had been
    found by then leaves the rule open; None for the day of the find.

    An object that only later company makes reportable gave no reason to believe before that company was found. As long
    as other objects nearby are not ruled out, the rule is open from the first day and its clock runs from there.
    Source: Treasure Act 1996 s.8(2)(b).
    """
    if ctx.facts.realised_on is not None or rule.clock.kind is not clock.ClockKind.BEGINNING_WITH:
        return ctx.facts.realised_on
    if not rule.company:
        return None  # open on the object alone, so from the day of the find
    first = next((day for day in ctx.days_from_found() if rule.is_open(ctx.known_by(day))), None)
    return first if first != ctx.found else None


def _weight(ctx: Context, rule: Rule, value: Tri) -> Weight:
    """A rule with a hint weighs as a test only when it is met for certain or its hint holds."""
    if rule.hint is None:
        return Weight.JUDGEMENT if rule.judged else Weight.TEST
    hinted = rule.hint.value(ctx) is Tri.YES or (value is Tri.YES and not rule.judged)
    return Weight.TEST if hinted else Weight.JUDGEMENT


def _unknowns(ctx: Context, unsettled: Mapping[str, Iterable[str]]) -> tuple[Unknown, ...]:
    """The facts to ask for, the one that would settle most rules first."""
    asked: dict[str, dict[str, None]] = {}
    for rule_id, facts in unsettled.items():
        for fact in facts:
            if not _settled(ctx, fact):
                asked.setdefault(fact, {})[rule_id] = None
    found = [_unknown(fact, tuple(ids)) for fact, ids in asked.items()]
    return tuple(sorted(found, key=lambda unknown: -len(unknown.would_change)))


@lru_cache(maxsize=1 << 15)
def _unknown(fact: str, rules: tuple[str, ...]) -> Unknown:
    return Unknown(question(fact), fact, rules, fields_behind(fact))


def _settled(ctx: Context, fact: str) -> bool:
    """Is it a yes-or-no fact that has been answered?"""
    return ctx.said.get(fact, Tri.UNKNOWN).known


def _exclusions(ctx: Context, exclusions: Iterable[Exclusion]) -> tuple[Excluded, ...]:
    values = ((exclusion, ctx.excluded(exclusion)) for exclusion in exclusions)
    return tuple(Excluded(e.id, e.clause, e.title, v is Tri.YES) for e, v in values if v is not Tri.NO)


def _cautions(pack: Pack, ctx: Context, today: date) -> tuple[str, ...]:
    said = [pack.caution, *pack.notes]
    if ctx.found is not None and ctx.found > today:
        said.append(f"The day of the find, {ctx.found.isoformat()}, is still to come; check it.")
    return tuple(said)


def _drills(pack: Pack, rules: Iterable[Rule], duties: Iterable[DutyFound]) -> tuple[DrillShown, ...]:
    """The drills of rules that are met or hinted at, each once."""
    shown: dict[str, DrillShown] = {}
    for rule, duty in zip(rules, duties, strict=True):
        if not rule.drill or duty.weight is not Weight.TEST:
            continue
        drill = pack.drills[rule.drill]
        certain = duty.strength is Strength.DUTY
        shown.setdefault(drill.id, DrillShown(drill.id, drill.title, drill.steps, certain))
    return tuple(shown.values())
