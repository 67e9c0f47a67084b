"""One kept screening, rule by rule: clause, answer, facts and where they came from, and what would change it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.utils.dateparse import parse_date, parse_datetime
from django.utils.translation import gettext as _

from finds.actions.screening import latest_of, same_find_of
from finds.legal import facts_of
from finds.models import Find, ScreeningRecord
from finds.pack_change import changes_between
from finds.screens import ScreeningShown, shown
from law.compare import STRENGTHS, Change, due_words
from law.derive import fields_behind
from law.facts import FindFacts
from law.pack import pack_codes
from law.retold import all_retold, retold
from law.screening import DutyFound, RuledOut, Screening, Strength
from law.together import fingerprint
from law.tri import Tri
from law.whatif import WhatIf, what_would_change
from law.words import WORDS, said_words
from tongue import noop
from web.templatetags.stubble import at, day

MANY = 40  # of a larger group every answer would be tried against every other: the page would wait
OF_THE_SITE = frozenset({"jurisdiction", "tidal", "church_land", "land_status", "protected_place"})
LABELS = {
    "found_at": noop("Found at"),
    "found_on": noop("Found on"),
    "realised_on": noop("Believed that it must be reported on"),
    "count": noop("How many"),
    "made_from": noop("Made in or after (year)"),
    "made_to": noop("Made in or before (year)"),
    "made_on": noop("Made on"),
    "precious_pct_low": noop("Gold and silver, at least (%)"),
    "precious_pct_high": noop("Gold and silver, at most (%)"),
    "assay": noop("How it was measured"),
    "depth_cm": noop("Depth (cm)"),
    "land_status": noop("Who holds the land"),
    "vessel_lost_from": noop("Ship lost in or after (year)"),
    "vessel_lost_to": noop("Ship lost in or before (year)"),
    "vessel_lost_on": noop("Ship lost on"),
    "exceptional": noop("Exceptional"),
}


@dataclass(frozen=True, slots=True)
class FactLine:
    """One fact as it was judged, and where it came from."""

    words: str
    origin: str


@dataclass(frozen=True, slots=True)
class RuleLook:
    """One rule that was looked at, with all that its answer rests on."""

    rule: DutyFound | RuledOut
    status: str
    answer: str
    facts: list[FactLine]
    unknown: tuple[str, ...]
    due: str
    counted: str
    what_ifs: list[tuple[str, str]]


def screening_context(record: ScreeningRecord) -> dict[str, Any]:
    """Everything that the page of one screening shows. `record.find` with its site."""
    view = shown(record)
    tried, why_not = what_ifs_of(record)
    return {
        "shown": view,
        "find": record.find,
        "rules": [_look(rule, record, tried) for rule in view.screening.duties],
        "ruled_out": [_look(rule, record, tried) for rule in view.screening.ruled_out],
        "packs": [
            replace(pack, checked_on=_value_words("checked_on", pack.checked_on))
            for pack in view.screening.packs
        ],
        "codes": pack_codes(),
        "tried": _together(tried),
        "why_not": why_not,
    }


def _look(rule: DutyFound | RuledOut, record: ScreeningRecord, tried: Iterable[WhatIf]) -> RuleLook:
    strength = rule.strength if isinstance(rule, DutyFound) else None
    status = {Strength.DUTY: "shut", Strength.POSSIBLE: "ask", None: "open"}[strength]
    return RuleLook(
        rule=rule,
        status=status,
        answer=retold(STRENGTHS[strength]).capitalize() if strength else _("Ruled out"),
        facts=fact_lines(rule.facts, record),
        unknown=rule.still_unknown if isinstance(rule, DutyFound) else (),
        due=retold(due_words(rule.due)) if isinstance(rule, DutyFound) else "",
        counted=rule.due.counted if isinstance(rule, DutyFound) else "",
        what_ifs=[
            (each.words, effect.after)
            for each in tried
            for effect in each.effects
            if (effect.pack, effect.rule) == (rule.pack, rule.rule)
        ],
    )


def _together(tried: Iterable[WhatIf]) -> list[WhatIf]:
    """The answers that change something, whatever the rule."""
    return [each for each in tried if each.effects]


def fact_lines(names: Iterable[str], record: ScreeningRecord) -> list[FactLine]:
    """The facts of these names as the record kept them, those that follow from others by what they follow from."""
    fields = dict.fromkeys(field for name in names for field in fields_behind(name))
    return [_fact_line(field, record) for field in fields if _told(field, record)]


def _told(field: str, record: ScreeningRecord) -> bool:
    """Facts with a default that says nothing are left out: an exact day when years are known, an assay not made."""
    return field in record.facts or field in WORDS


def _fact_line(field: str, record: ScreeningRecord) -> FactLine:
    value = record.facts.get(field)
    if field in WORDS:
        words = retold(said_words(field, Tri(value or "unknown")))
    else:
        label = _(LABELS[field]) if field in LABELS else field.replace("_", " ").capitalize()
        words = f"{label}: {_value_words(field, str(value))}"
    return FactLine(words, "" if value is None else _origin(field, record))


def _value_words(field: str, kept: str) -> str:
    """A fact as it was kept, with its day and time as the club writes them."""
    if field.endswith("_on") and (on := parse_date(kept)):
        return day(on)
    if field.endswith("_at") and (moment := parse_datetime(kept)):
        return at(moment)
    return _(kept.replace("_", " ")) if kept else ""


def _origin(field: str, record: ScreeningRecord) -> str:
    if not record.judged_by:
        return _("record, site or answer")
    if field in record.answered:
        return _("answer to the law's questions")
    return _("site") if field in OF_THE_SITE else _("record")


def what_ifs_of(record: ScreeningRecord) -> tuple[list[WhatIf], str]:
    """Every answer tried on the facts of the record, or the reason why that cannot be done any more."""
    code, find = record.pack_code, record.find
    if code not in pack_codes() or record.judged_by != fingerprint(code):
        return [], _("The rules have changed since; screen again to see what further answers would change.")
    if latest_of([find])[find.pk].pk != record.pk:
        return [], _("A later screening has taken this one's place; what would change is told there.")
    group = [other for other in same_find_of(find) if other.pk != find.pk]
    if len(group) > MANY:
        return [], _("With more than %(many)s finds in its group, further answers are not tried here.") % {
            "many": MANY
        }
    facts = FindFacts.from_dict(record.facts)
    company = [_here(other, code) for other in group]
    return list(all_retold(what_would_change(facts, group=company, code=code, on=record.at))), ""


def _here(find: Find, code: str) -> FindFacts:
    return FindFacts.from_dict(facts_of(find).to_dict() | {"jurisdiction": code})


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """One kept screening, and what had changed since the one before."""

    shown: ScreeningShown
    changes: tuple[Change, ...]
    first: bool
    facts_changed: bool
    packs_changed: bool


def history(records: Sequence[ScreeningRecord]) -> list[HistoryRow]:
    """Rows of the history, the newest first. A last record that only serves to compare is the caller's to cut off."""
    rows = []
    for place, record in enumerate(records):
        before = records[place + 1] if place + 1 < len(records) else None
        view = shown(record)
        changes = all_retold(changes_between(before, view.screening)) if before else ()
        other_facts = before is not None and before.facts_digest != record.facts_digest
        other_packs = before is not None and _packs(before) != _packs(record)
        rows.append(HistoryRow(view, changes, before is None, other_facts, other_packs))
    return rows


def _packs(record: ScreeningRecord) -> list[tuple[str, str, str]]:
    return [(pack.code, pack.version, pack.digest) for pack in Screening.from_dict(record.result).packs]
