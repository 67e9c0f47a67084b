"""The access matrix: what each address answers to each kind of reader. A new URL is a new row.

Each app keeps its rows in tests/views/access_<app>.py as ROWS; test_access.py plays them and fails when a URL
name has none. The browser tests open every page of one world, so what a row makes must not clash when two rows make it.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

import pytest

from tests.views.world import World

READERS = ("anonymous", "stranger", "member", "leader", "secretary", "committee", "link", "expired")
LOGIN = "log in"  # a redirect to the sign-in page
OUTSIDE: dict[str, int | str] = {"anonymous": LOGIN, "link": LOGIN, "expired": LOGIN}


@dataclass(frozen=True)
class Row:
    """One address and method. `kwargs` and `data` are made from the world; `expected` maps readers to answers.

    Readers that `expected` leaves out: anonymous and landholder links must log in, everybody else gets 404
    (rows not visible) unless `otherwise` says 403 (right not held).
    """

    name: str
    expected: dict[str, int | str]
    kwargs: Callable[[World], dict[str, Any]] = field(default=lambda world: {})
    method: str = "get"
    data: Callable[[World], dict[str, Any]] = field(default=lambda world: {})
    otherwise: int = 404

    def answer_for(self, reader: str) -> int | str:
        if reader in self.expected:
            return self.expected[reader]
        return OUTSIDE.get(reader, self.otherwise)


def who(readers: str, answer: int | str) -> dict[str, int | str]:
    """`who("member leader", 200)`: the same answer for several readers."""
    return dict.fromkeys(readers.split(), answer)


INSIDERS = "member leader secretary committee"


# Every address as every reader is much; the readers whose pages the database sorts and filters most go on both.
ON_BOTH = ("other_member", "secretary")


def as_readers(names: Iterable[str], *, others: str = "once", usual: Sequence[str] = ON_BOTH) -> list[Any]:
    """The readers as parameters, all but the `usual` marked `others`: taken on SQLite alone, or on demand."""
    mark = getattr(pytest.mark, others)
    return [name if name in usual else pytest.param(name, marks=mark) for name in names]
