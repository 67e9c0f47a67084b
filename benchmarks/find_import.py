"""A table of 1,000 finds: reading, judging, saving with screening; beside a bare bulk_create and a loop of record_find.

Run: python -m benchmarks.find_import [rows]. It makes a test database of its own (DATABASE_URL says which kind), rolls
every save but one back, and destroys the database at the end. The seconds are the processor's own.
"""

import csv
import io
import os
import sys
import time
from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")

import django

django.setup()

from django.db import connection, transaction  # noqa: E402
from django.test.utils import setup_databases, teardown_databases  # noqa: E402
from django.utils.timezone import localtime, now  # noqa: E402

from finds import actions  # noqa: E402
from finds.export import export_lines  # noqa: E402
from finds.import_file import check_table  # noqa: E402
from finds.import_rows import plan_rows  # noqa: E402
from finds.models import Find, FindNumber  # noqa: E402
from tests import make  # noqa: E402

KINDS = [
    ("button", "copper alloy"),
    ("nail", "iron"),
    ("shot", "lead"),
    ("penny", "silver 92 %"),
    ("buckle", "iron"),
]


def rows(count: int, code: str) -> bytes:
    """As a club's list is: objects with material, place and depth, every fifth a coin with its years."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(
        [
            "hunt",
            "own reference",
            "object",
            "coin",
            "materials",
            "circumstances",
            "depth",
            "position",
            "year from",
            "year to",
        ]
    )
    for n in range(count):
        words, material = KINDS[n % 5]
        coin = ("yes", "1279", "1400") if words == "penny" else ("no", "", "")
        place = f"{53.6002 + 0.0014 * (n % 97) / 97:.6f}, {0.1502 + 0.0026 * (n % 89) / 89:.6f}"
        writer.writerow([code, n, words, coin[0], material, "none", 5 + n % 20, place, *coin[1:]])
    return out.getvalue().encode()


def timed(label: str, work: Callable[[], Any], count: int) -> Any:
    began = time.process_time()
    answer = work()
    seconds = time.process_time() - began
    print(f"{label:52} {seconds:6.2f} s  {seconds / count * 1e3:6.2f} ms a row", flush=True)
    return answer


def undone(work: Callable[[], Any]) -> Callable[[], Any]:
    """Run it in a transaction that is taken back."""

    def inner() -> Any:
        with transaction.atomic():
            answer = work()
            transaction.set_rollback(True)
        return answer

    return inner


def bare(plan: Any, member: Any) -> None:
    """The least that any import does: numbers and finds in two statements, no custody, no trail, no law."""
    at = now()
    numbers = FindNumber.objects.bulk_create(
        FindNumber(year=2026, serial=n + 1, given_at=at) for n in range(len(plan.new))
    )
    Find.objects.bulk_create(
        Find(
            client_id=row.key, hunt=row.hunt, number_row=number, number=f"B{number.serial}", recorded_at=at,
            recorded_by=member, **row.fields,
        )
        for row, number in zip(plan.new, numbers, strict=True)
    )  # fmt: skip


def one_by_one(plan: Any, member: Any) -> None:
    for row in plan.new:
        fields = {name: value for name, value in row.fields.items() if name not in {"weight_as_typed"}}
        actions.record_find(
            row.hunt.pk, by=member, at=now(), client_id=uuid4(), materials=row.materials, **fields
        )


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    old = setup_databases(verbosity=0, interactive=False)
    try:
        make.club()
        member = make.person(name="Mo Samphire")
        hunt = make.hunt(
            make.site(code="SF04"),
            on=(localtime(now()) - timedelta(7)).date(),
            code="H2026-004",
            state="closed",
        )
        make.sign_up(hunt, member)
        data = rows(count, hunt.code)
        print(f"{connection.vendor}, {count:,} rows, {len(data) / 1e3:.0f} kB")
        table = timed("read the file", lambda: check_table(data), count)
        plan = timed("judge every row (the preview)", lambda: plan_rows(table, by=member, at=now()), count)
        assert not plan.problems, plan.problems[:3]
        timed("peer: bare bulk_create, no custody, trail or law", undone(lambda: bare(plan, member)), count)
        timed("peer: record_find row by row", undone(lambda: one_by_one(plan, member)), count)
        draft = actions.keep_find_import(data, "b.csv", by=member, at=now(), client_id=uuid4())

        def save() -> list[Find]:
            return actions.save_find_import(draft.pk, by=member, at=now(), seal=plan.seal)

        finds = timed("save: judge again, record, screen, suggest pairs", save, count)
        assert len(finds) == count
        again = timed(
            "the same file again: nothing is new", lambda: plan_rows(table, by=member, at=now()), count
        )
        assert not again.new
        lines = timed("export it", lambda: list(export_lines(Find.objects.all(), member, at=now())), count)
        assert len(lines) == count + 1
    finally:
        teardown_databases(old, verbosity=0)


if __name__ == "__main__":
    main()
