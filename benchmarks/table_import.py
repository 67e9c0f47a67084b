"""Tables of 2,000 rows of each kind: reading, looking, saving; beside a plain csv.reader over the same file.

Run: python -m benchmarks.table_import [rows]. It makes a test database of its own (DATABASE_URL says which kind) and
destroys it at the end. The seconds are the processor's own. Sites come with a boundary each, side by side; half of the
old finds share an outing with ten others.
"""

import csv
import io
import os
import sys
import time
from collections.abc import Callable
from typing import Any
from uuid import uuid4

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")

import django

django.setup()

from django.db import connection  # noqa: E402
from django.test.utils import setup_databases, teardown_databases  # noqa: E402
from django.utils.timezone import now  # noqa: E402

from keeping.import_kinds import KINDS  # noqa: E402
from keeping.import_samples import sample_book  # noqa: E402
from people import actions  # noqa: E402
from people.models import TableDraft  # noqa: E402
from people.rights import Role  # noqa: E402
from people.tables import DraftTable  # noqa: E402
from tests import make  # noqa: E402

ANSWERS: dict[str, dict[str, Any]] = {
    "members": {"starts": "2026-01-01", "ends": "2026-12-31"},
    "landholders": {"capacity": "owner"},
    "sites": {"jurisdiction": "england"},
    "finds": {"past_basis": "unknown", "past_why": "From the notebook."},
}


def rows(kind: str, count: int) -> list[list[str]]:
    """A header and `count` rows, as a club's list is."""
    return {"members": _members, "landholders": _landholders, "sites": _sites, "finds": _finds}[kind](count)


def _members(count: int) -> list[list[str]]:
    head = ["Surname", "First name", "E-mail", "Mobile", "Next of kin", "Date joined", "Paid until"]
    return [head] + [
        [f"Spit{n}", "Ned", f"ned{n}@ravensand.example", f"07700 9{n:05}", "Wyn", "2019-04-03", "2027-03-31"]
        for n in range(count)
    ]


def _landholders(count: int) -> list[list[str]]:
    head = ["Landowner", "Email", "Phone", "Address", "Postcode"]
    return [head] + [
        [f"Holding {n} Partners", f"h{n}@saltmere.example", "01632 960100", "Sand Lane", "HU99 1SM"]
        for n in range(count)
    ]


def _sites(count: int) -> list[list[str]]:
    found = [["Code", "Name", "Farm", "Owner", "Boundary"]]
    for n in range(count):
        lon, lat = 0.15 + 0.003 * (n % 50), 53.60 + 0.002 * (n // 50)
        corners = [(lon, lat), (lon + 0.0029, lat), (lon + 0.0029, lat + 0.0019), (lon, lat + 0.0019)]
        line = "; ".join(f"{y:.6f}, {x:.6f}" for x, y in corners)
        found.append([f"F{n:04}", f"Field {n}", "Saltmere Farm", f"Holding {n} Partners", line])
    return found


def _finds(count: int) -> list[list[str]]:
    head = ["Ref", "Date found", "Field", "Found by", "Item", "Metal", "Depth (cm)"]
    return [head] + [
        [f"bag {n}", f"20{10 + n // 10 % 10}-03-{1 + n // 100 % 28:02}", f"F{n // 10 % 20:04}",
         "ned1@ravensand.example", "button", "copper alloy", "12"]
        for n in range(count)
    ]  # fmt: skip


def timed(label: str, work: Callable[[], Any], count: int) -> Any:
    began = time.process_time()
    answer = work()
    seconds = time.process_time() - began
    print(f"{label:52} {seconds:8.4f} s  {seconds / count * 1e3:8.4f} ms a row", flush=True)
    return answer


def text_of(table: list[list[str]]) -> str:
    out = io.StringIO()
    csv.writer(out).writerows(table)
    return out.getvalue()


def try_kind(kind: str, count: int, by: Any) -> None:
    table = rows(kind, count)
    book = sample_book({kind: (table[0], table[1:])})
    text = text_of(table)
    timed(f"{kind}: peer, csv.reader over the same rows", lambda: list(csv.reader(io.StringIO(text))), count)
    key = uuid4()
    actions.keep_table(book, "list.xlsx", by=by, at=now(), kind=kind, client_id=key)
    draft = DraftTable(TableDraft.objects.get(client_id=key), KINDS[kind].fields)
    timed(f"{kind}: read the spreadsheet", lambda: draft.source, count)
    about: dict[str, Any] = {"digest": draft.digest, "columns": draft.suggestion(), "answers": ANSWERS[kind]}
    actions.match_columns(key, by=by, at=now(), **about)

    def look() -> Any:
        fresh = DraftTable(TableDraft.objects.get(client_id=key), KINDS[kind].fields)
        return KINDS[kind].judge(fresh.matched(), fresh.answers, by=by, at=now())

    plan = timed(f"{kind}: look (read, match, judge)", look, count)
    assert not plan.problems, plan.problems[:3]
    assert len(plan.new) == count
    timed(
        f"{kind}: save (all of that again, and write)",
        lambda: KINDS[kind].save(key, by=by, at=now(), seal=plan.seal, site="https://club.example"),
        count,
    )


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    old = setup_databases(verbosity=0, interactive=False)
    try:
        make.club()
        by = make.person(Role.SECRETARY, name="Sal Marram")
        print(f"{connection.vendor}, {count:,} rows of each kind")
        for kind in KINDS:
            try_kind(kind, count, by)
    finally:
        teardown_databases(old, verbosity=0)


if __name__ == "__main__":
    main()
