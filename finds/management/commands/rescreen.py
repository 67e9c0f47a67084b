"""Screen again the finds that older law packs judged, for clubs with more of them than a page works through."""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils.timezone import now

from finds.actions import rescreen_batch, start_rescreening
from finds.models import Find, RescreenedFind, Rescreening
from finds.pack_change import look_at, out_of_date, waiting_finds

LOOK = 200


class Command(BaseCommand):
    help = (
        "Screen finds again after the law packs changed. Safe to stop and to repeat: each batch is kept whole, and "
        "the next start goes on where it stopped. --dry-run says what would change and keeps nothing."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--dry-run", action="store_true", help="say what would change, keep nothing")
        parser.add_argument("--batch", type=int, default=50, help="finds in one transaction (default 50)")

    def handle(self, *args: Any, **options: Any) -> None:
        for row in waiting_finds():
            self.stdout.write(f"{row.title}: {row.finds} finds, {row.before} → {row.after}")
        if options["dry_run"]:
            self._look()
            return
        run = start_rescreening(by=None, at=now())
        if run is None:
            self.stdout.write("Every find was judged by the rules in force.")
            return
        while left := rescreen_batch(run.pk, by=None, at=now(), size=max(1, options["batch"])):
            self.stdout.write(f"{left} finds still to screen.")
        self._tell(run)

    def _look(self) -> None:
        """What would change, a few hundred finds at a time, so that memory does not grow with the club."""
        looked = changed = last = 0
        while finds := _next(last):
            looks = look_at(finds, at=now())
            for look in (look for look in looks if look.changes):
                said = "; ".join(f"{c.title or c.what}: {c.before} → {c.after}" for c in look.changes)
                self.stdout.write(f"{look.find.number}: {said}")
                changed += 1
            looked, last = looked + len(finds), finds[-1].pk
        self.stdout.write(f"{looked} finds looked at, {changed} would change. Nothing was kept.")

    def _tell(self, run: Rescreening) -> None:
        lines = RescreenedFind.objects.filter(run=run)
        changed = lines.filter(changed=True).count()
        self.stdout.write(f"{lines.count()} finds screened again, {changed} changed. See heritage/packs/.")


def _next(after: int) -> list[Find]:
    return list(out_of_date().filter(pk__gt=after).order_by("pk")[:LOOK])
