"""What a table of finds would make: its rows to come and the plan of all of them."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from hashlib import sha256
from typing import Any
from uuid import UUID

from finds.models import Find
from hunts.models import Hunt
from people.models import User
from web.tables.rows import Problem

Values = dict[str, Any]


@dataclass
class Coming:
    """One good row: what it will be, or the find it is already."""

    line: int
    key: UUID
    hunt: Hunt
    finder: User
    fields: Values
    materials: dict[tuple[str, str], Decimal | None]
    given: Values
    there: Find | None = None
    differs: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)


@dataclass
class Plan:
    """All rows of a file together. It can be saved when `problems` is empty and `new` is not."""

    new: list[Coming] = field(default_factory=list)
    known: list[Coming] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    unnamed: int = 0  # new rows without a reference of their own

    @property
    def seal(self) -> str:
        """A word that stands for exactly what would be made, so that saving makes what was looked at."""
        text = "\n".join(f"{row.key} {sorted(row.given.items(), key=str)}" for row in self.new)
        return sha256(text.encode()).hexdigest()[:32]

    @property
    def by_hunt(self) -> list[tuple[Hunt, int]]:
        """How many new finds each hunt gets."""
        counts = Counter(row.hunt.pk for row in self.new)
        hunts = {row.hunt.pk: row.hunt for row in self.new}
        return sorted(((hunts[pk], count) for pk, count in counts.items()), key=lambda pair: pair[0].code)


def warnings_of(rows: Iterable[Coming]) -> list[tuple[int, str]]:
    """(line, sentence) of everything that is worth a look but stops nothing."""
    return [(row.line, words) for row in rows for words in row.warnings]
