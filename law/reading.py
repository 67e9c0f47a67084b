"""Builds a pack from its tables, collecting every slip with its file and line."""

from __future__ import annotations

import hashlib
import json
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any
from zoneinfo import ZoneInfo

from law.conditions import Builder
from law.derive import fact_names
from law.leaves_together import company_in
from law.model import (
    Authority,
    Drill,
    Effect,
    Exclusion,
    Kind,
    Pack,
    Rule,
    SearchRule,
)
from law.place import PLACE_NAMES
from law.tables import PackError, Table, read_tables
from law.values import checked_of, clock_of, condition_of, enum_of, force_of, number_of

_KNOWN = ("pack", "authority", "exclusion", "rule", "drill", "search")
_RULE_KEYS = [
    "id",
    "clause",
    "title",
    "kind",
    "from",
    "to",
    "when",
    "unless",
    "duty",
    "clock",
    "authority",
    "consequence",
    "cautions",
    "source",
    "checked",
    "checked_on",
    "series",
    "judged",
    "hint",
    "drill",
]
_SEARCH_KEYS = [
    "id",
    "clause",
    "words",
    "effect",
    "from",
    "to",
    "when",
    "lifted_by",
    "lifted_words",
    "depth_over_cm",
    "distance_at_most_m",
    "checked",
    "checked_on",
    "source",
]


class Reader:
    """One reading of one pack; `errors` holds every slip found."""

    def __init__(self, path: Path, text: str | None = None) -> None:
        self.path = path
        self.errors: list[PackError] = []
        self.authorities: dict[str, Authority] = {}
        self.exclusions: dict[str, Exclusion] = {}
        self.rules: dict[str, Rule] = {}
        self.search_rules: dict[str, SearchRule] = {}
        self.drills: dict[str, Drill] = {}
        self.lines: dict[str, tuple[Path, int]] = {}
        self.head: Table | None = None
        self.tables = self._all_tables(text)

    def _all_tables(self, text: str | None) -> list[Table]:
        """The pack's own tables after those of the parts it includes."""
        try:
            own = read_tables(self.path, text)
            self.head = next((t for t in own if t.name == "pack"), None)
            shared: list[Table] = []
            for name in self.head.words("include") if self.head else ():
                shared += read_tables(self.path.parent / "parts" / f"{name}.toml")
        except PackError as error:
            self.errors.append(error)
            return []
        except FileNotFoundError as error:
            message = f"includes a part that is not there: {Path(error.filename).name}."
            self.errors.append(
                self.head.error(message, "include") if self.head else PackError(self.path, 1, message)
            )
            return []
        return shared + own

    def read(self) -> Pack | None:
        """The pack, or None when there is any slip."""
        makers: dict[str, Any] = {
            "authority": self._authority,
            "drill": self._drill,
            "exclusion": self._exclusion,
            "rule": self._rule,
            "search": self._search,
        }
        for table in self.tables:
            if table.name not in _KNOWN:
                self.errors.append(table.error(f"unknown table; known are {', '.join(_KNOWN)}."))
        for name, make in makers.items():
            for table in (t for t in self.tables if t.name == name):
                self._try(make, table)
        pack = self._try(self._pack, self.head) if self.head else None
        if self.head is None and not self.errors:
            self.errors.append(PackError(self.path, 1, "has no [pack] table."))
        return None if self.errors else pack

    def _try(self, make: Any, table: Table) -> Any:
        try:
            made = make(table)
        except PackError as error:
            self.errors.append(error)
            return None
        if table.name != "pack":
            self._keep(table, made)
        return made

    def _keep(self, table: Table, made: Any) -> None:
        shelves: dict[str, dict[str, Any]] = {
            "authority": self.authorities,
            "drill": self.drills,
            "exclusion": self.exclusions,
            "rule": self.rules,
            "search": self.search_rules,
        }
        shelf = shelves[table.name]
        if made.id in shelf:
            self.errors.append(table.error(f"a second {table.name} with the same id."))
        shelf[made.id] = made
        self.lines[f"{table.name}:{made.id}"] = (table.path, table.line)

    def _pack(self, table: Table) -> Pack:
        keys = (
            "code",
            "title",
            "version",
            "checked_on",
            "law_as_at",
            "tz",
            "caution",
            "notes",
            "include",
            "also",
        )
        table.only(*keys)
        tz = table.need("tz", str)
        try:
            ZoneInfo(tz)
        except (KeyError, ValueError, OSError) as error:
            raise table.error(
                f"tz “{tz}” is no time zone name; write one like “Europe/London”.", "tz"
            ) from error
        return Pack(
            code=table.need("code", str),
            title=table.need("title", str),
            version=table.need("version", str),
            checked_on=table.need("checked_on", date),
            law_as_at=table.need("law_as_at", str),
            tz=tz,
            caution=table.need("caution", str),
            notes=table.words("notes"),
            also=table.words("also"),
            digest=self._digest(),
            rules=tuple(self.rules.values()),
            exclusions=tuple(self.exclusions.values()),
            search_rules=tuple(self.search_rules.values()),
            authorities=MappingProxyType(self.authorities),
            drills=MappingProxyType(self.drills),
            by_id=MappingProxyType(self.rules),
        )

    def _digest(self) -> str:
        said = [[table.name, table.values] for table in self.tables]
        return hashlib.sha256(json.dumps(said, sort_keys=True, default=str).encode()).hexdigest()

    def _authority(self, table: Table) -> Authority:
        table.only("id", "name", "how")
        return Authority(table.need("id", str), table.need("name", str), table.need("how", str))

    def _drill(self, table: Table) -> Drill:
        table.only("id", "title", "steps", "checked")
        steps = table.words("steps")
        if not steps:
            raise table.error(
                'steps is missing; say what to do, in order: write steps = ["...", "..."].', "steps"
            )
        return Drill(table.need("id", str), table.need("title", str), steps, checked_of(table))

    def _exclusion(self, table: Table) -> Exclusion:
        table.only("id", "clause", "title", "from", "to", "when")
        when = condition_of(table, "when", Builder(fact_names()))
        if company_in(when):
            # It is worked out once for each object, so it may not hang on what was found beside it.
            raise table.error("same_find_count may not stand in an exclusion; put it into a rule.", "when")
        return Exclusion(
            table.need("id", str),
            table.need("clause", str),
            table.need("title", str),
            force_of(table),
            when,
        )

    def _rule(self, table: Table) -> Rule:
        table.only(*_RULE_KEYS)
        builder = Builder(fact_names(), self.rules)
        when = condition_of(table, "when", builder)
        return Rule(
            id=table.need("id", str),
            clause=table.need("clause", str),
            title=table.need("title", str),
            kind=enum_of(table, "kind", Kind),
            force=force_of(table),
            when=when,
            unless=tuple(self._named(table, self.exclusions, e, "unless") for e in table.words("unless")),
            duty=table.need("duty", str),
            clock=clock_of(table),
            authority=self._named(table, self.authorities, table.need("authority", str), "authority"),
            consequence=table.maybe("consequence", str, ""),
            cautions=table.words("cautions"),
            source=table.need("source", str),
            checked=checked_of(table),
            checked_on=table.need("checked_on", date),
            company=company_in(when),
            series=table.maybe("series", str, ""),
            judged=table.maybe("judged", bool, False),
            hint=condition_of(table, "hint", builder) if "hint" in table.values else None,
            drill=self._named(table, self.drills, table.maybe("drill", str, ""), "drill", key=True),
        )

    def _search(self, table: Table) -> SearchRule:
        table.only(*_SEARCH_KEYS)
        lifted_by = table.maybe("lifted_by", str, "")
        return SearchRule(
            id=table.need("id", str),
            clause=table.need("clause", str),
            words=table.need("words", str),
            effect=enum_of(table, "effect", Effect),
            force=force_of(table),
            when=condition_of(table, "when", Builder(PLACE_NAMES)),
            lifted_by=lifted_by,
            lifted_words=table.need("lifted_words", str) if lifted_by else "",
            depth_over_cm=number_of(table, "depth_over_cm"),
            distance_at_most_m=number_of(table, "distance_at_most_m"),
            checked=checked_of(table),
            checked_on=table.need("checked_on", date),
            source=table.need("source", str),
        )

    @staticmethod
    def _named(table: Table, shelf: dict[str, Any], name: str, what: str, *, key: bool = False) -> Any:
        if name and name not in shelf:
            known = ", ".join(shelf) or "none"
            raise table.error(f"{what} “{name}” is not in this pack; known are {known}.", what)
        return name if key else shelf[name]
