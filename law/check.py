"""Checks law packs for slips a reader would miss: structure, clauses, dates, gaps and overlaps.

Run as `python -m law.check [file ...]`; prints file:line for each slip and ends with 1 when there is any.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

from law.clock import ClockKind
from law.model import Checked, Pack, Rule, SearchRule
from law.pack import PACKS_DIR
from law.reading import Reader
from law.stages import STAGES_FILE, read_courses
from law.tables import PackError, Table, read_tables


def check_pack(path: Path, text: str | None = None) -> list[PackError]:
    """Every slip in one pack file, or in `text` as if it stood there."""
    reader = Reader(path, text)
    pack = reader.read()
    if pack is None:
        return sorted(reader.errors, key=lambda error: (error.path.name, error.line))
    slips = list(_pack_slips(reader, pack))
    for rule in pack.rules:
        slips += _rule_slips(reader, rule)
    slips += _series_slips(reader, pack)
    return slips


def check_stages(text: str | None = None) -> list[PackError]:
    """Every slip in the file of stages after a report, or in `text` as if it stood there."""
    return read_courses(STAGES_FILE, text)[1]


def _pack_slips(reader: Reader, pack: Pack) -> Iterable[PackError]:
    head = reader.head
    assert head is not None
    if pack.code != reader.path.stem:
        yield head.error(f"code “{pack.code}” differs from the file's name “{reader.path.stem}”.", "code")
    yield from _beside_slips(reader, head, pack)
    for name, held in (("rule", pack.rules), ("search", pack.search_rules)):
        if not held:
            yield head.error(f"has no [[{name}]]; a place without rules must not be shipped as a pack.")
    used = {rule.authority.id for rule in pack.rules}
    for unused in sorted(set(pack.authorities) - used):
        yield _at(reader, f"authority:{unused}", f"authority “{unused}” is used by no rule.")
    for unused in sorted(set(pack.drills) - {rule.drill for rule in pack.rules}):
        yield _at(reader, f"drill:{unused}", f"drill “{unused}” is used by no rule.")
    items: tuple[Rule | SearchRule, ...] = (*pack.rules, *pack.search_rules)
    for item in items:
        if item.checked_on > pack.checked_on:
            kind = "rule" if isinstance(item, Rule) else "search"
            message = f"{kind} “{item.id}”: checked on {item.checked_on}, after the pack's {pack.checked_on}."
            yield _at(reader, f"{kind}:{item.id}", message)


def _beside_slips(reader: Reader, head: Table, pack: Pack) -> Iterable[PackError]:
    """Packs run beside this one are there, each once, and none leads back here."""
    for code in pack.also:
        if code == pack.code or pack.also.count(code) > 1:
            yield head.error(f"also: “{code}” is this pack itself or stands there twice.", "also")
        elif not (reader.path.parent / f"{code}.toml").exists():
            known = ", ".join(sorted(path.stem for path in reader.path.parent.glob("*.toml")))
            yield head.error(f"also: there is no pack “{code}”; known are {known}.", "also")
        elif pack.code in _all_beside(reader.path.parent, code):
            yield head.error(f"also: “{code}” names this pack in turn; let only one name the other.", "also")


def _all_beside(folder: Path, code: str) -> set[str]:
    """Every pack that `code` leads to by `also`, read without checking the rest of their files."""
    found: set[str] = set()
    waiting = [code]
    while waiting:
        path = folder / f"{waiting.pop()}.toml"
        heads = [table for table in read_tables(path) if table.name == "pack"] if path.exists() else []
        more = {named for head in heads for named in head.words("also")} - found
        found |= more
        waiting += more
    return found


def _rule_slips(reader: Reader, rule: Rule) -> Iterable[PackError]:
    key = f"rule:{rule.id}"
    if rule.checked is Checked.MEMORY and rule.clock.kind not in (ClockKind.ASAP, ClockKind.NONE):
        yield _at(reader, key, f"rule “{rule.id}”: a rule from memory may not count days or hours.")
    if rule.clock.kind is ClockKind.NONE and rule.kind != "refer":
        yield _at(reader, key, f"rule “{rule.id}”: clock none is only for kind refer; use asap.")
    if not rule.clock.words:
        yield _at(reader, key, f"rule “{rule.id}”: clock has no words that say how it counts.")


def _series_slips(reader: Reader, pack: Pack) -> Iterable[PackError]:
    """Rules of one series follow each other without a gap or an overlap of days."""
    for series in sorted({rule.series for rule in pack.rules if rule.series}):
        rules = sorted((r for r in pack.rules if r.series == series), key=lambda r: r.force.first or date.min)
        for before, after in pairwise(rules):
            key = f"rule:{after.id}"
            last, first = before.force.last, after.force.first or date.min
            if last is None or last >= first:
                yield _at(reader, key, f"rule “{after.id}”: overlaps “{before.id}” in series “{series}”.")
            elif last + timedelta(days=1) < first:
                yield _at(reader, key, f"rule “{after.id}”: gap after “{before.id}” in series “{series}”.")


def _at(reader: Reader, key: str, message: str) -> PackError:
    path, line = reader.lines[key]
    return PackError(path, line, message)


def main(arguments: Sequence[str]) -> int:
    """Print every slip; 1 when there is any, else 0."""
    paths = [Path(argument) for argument in arguments] or sorted(PACKS_DIR.glob("*.toml"))
    slips = [slip for path in paths for slip in check_pack(path)]
    if not arguments:
        slips += check_stages()
    for slip in slips:
        print(slip)
    if not slips:
        print(f"{len(paths)} packs, no slip found.")
    return 1 if slips else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
