"""What the pages of an import show: the file as it was read, what it would make, and what it made."""

from dataclasses import dataclass
from typing import Any

from django.utils.formats import date_format
from django.utils.timezone import localtime

from finds.csv_read import Table
from finds.import_plan import Coming, Plan, warnings_of
from finds.incident_page import stops_of_finds
from finds.models import Find, FindImportDraft, ScreeningRecord
from finds.screens import ScreeningShown, latest_records, shown
from law.screen import Outcome
from people.models import User
from tongue import figure
from web.tables.text import ENCODINGS, SEPARATORS

MOST_SHOWN = 100


@dataclass(frozen=True)
class Sample:
    """One row as it was understood."""

    line: int
    hunt: str
    found: str
    finder: str
    what: str
    materials: str
    place: str


def sample_of(row: Coming) -> Sample:
    shares = [
        f"{words or name} {figure(f'{share.normalize():f}')} %" if share is not None else words or name
        for (name, words), share in row.materials.items()
    ]
    count = row.fields.get("count", 1)
    return Sample(
        row.line,
        row.hunt.code,
        date_format(localtime(row.fields["found_at"]), "j M Y H:i" if "time" in row.given else "j M Y"),
        row.finder.name,
        row.fields["object_type"] + (f" × {count}" if count > 1 else ""),
        ", ".join(shares) or "–",
        row.fields.get("position_text", "") or "–",
    )


def look_context(draft: FindImportDraft, table: Table, plan: Plan) -> dict[str, Any]:
    """The preview: nothing of it is saved yet."""
    warnings = warnings_of(plan.new)
    withdrawn = [row for row in plan.known if row.there and row.there.withdrawn_at]
    return {
        "draft": draft,
        "encoding": ENCODINGS[table.encoding],
        "sure": table.sure,
        "separator": SEPARATORS[table.separator],
        "samples": table.samples(),
        "total": len(table.rows),
        "new": len(plan.new),
        "by_hunt": plan.by_hunt,
        "problems": plan.problems[:MOST_SHOWN],
        "problem_count": len(plan.problems),
        "warnings": warnings[:MOST_SHOWN],
        "warning_count": len(warnings),
        "same": sum(not row.differs for row in plan.known) - len(withdrawn),
        "differing": [row for row in plan.known if row.differs][:MOST_SHOWN],
        "differing_count": sum(bool(row.differs) for row in plan.known),
        "withdrawn": withdrawn[:MOST_SHOWN],
        "unnamed": plan.unnamed,
        "rows": [sample_of(row) for row in plan.new[:10]],
        "seal": plan.seal,
        "may_save": bool(plan.new) and not plan.problems,
    }


@dataclass(frozen=True)
class Heavy:
    """A find by which something is or may be owed, or all stops."""

    find: Find
    screening: ScreeningShown


def _heavy(find: Find, record: ScreeningRecord | None) -> Heavy | None:
    if record is None:
        return None
    is_heavy = find.locked or record.outcome == Outcome.DUTY.value or bool(record.result["drills"])
    return Heavy(find, shown(record)) if is_heavy else None


def made_of(keys: list[int], user: User) -> dict[str, Any]:
    """Finds that were saved, and first of all those by which something is or may be owed, or all stops."""
    finds = list(Find.objects.visible_to(user).filter(pk__in=keys).order_by("pk").select_related("hunt"))
    records = latest_records(finds)
    heavy = [row for find in finds if (row := _heavy(find, records.get(find.pk)))]
    open_questions = sum(record.outcome == Outcome.POSSIBLE_DUTY.value for record in records.values())
    open_questions -= sum(row.screening.screening.outcome is Outcome.POSSIBLE_DUTY for row in heavy)
    return {"finds": finds, "heavy": heavy, "asking": open_questions, "stops": stops_of_finds(finds, user)}


def made_context(draft: FindImportDraft, user: User) -> dict[str, Any]:
    """What a draft became."""
    return {"draft": draft, **made_of(draft.made, user)}
