"""What the pages of an import show: what a file would make, and what it made."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.urls import reverse
from django.utils.translation import gettext as _

from finds.import_page import made_of
from finds.models import Find
from hunts.models import Hunt
from keeping.import_kinds import ImportKind, kind_of
from people.actions.tables import BACK_WITHIN
from people.models import TableImport, TableKind, User
from people.tables import DraftTable
from permissions.models import Landholder, Site
from web.tables.match import Matched
from web.tables.plan import Plan
from web.tables.text import ENCODINGS, SEPARATORS

MOST_SHOWN = 100


def file_words(table: DraftTable) -> str:
    """How the file was read, in a sentence's part: its sheet, or its letters and separator."""
    letters = table.source.letters
    if letters is None:
        return _("sheet “%(name)s”") % {"name": table.sheet.name}
    said = {"separator": SEPARATORS[letters.separator], "encoding": ENCODINGS[letters.encoding]}
    return _("parted by %(separator)ss, letters in %(encoding)s") % said


def look_context(table: DraftTable, matched: Matched, plan: Plan) -> dict[str, Any]:
    """The preview: nothing of it is saved yet."""
    same = [row for row in plan.known if not row.adds and not row.differs]
    differing = [row for row in plan.known if row.differs]
    warned = [row for row in (*plan.new, *plan.known) if row.warnings]
    return {
        "draft": table.draft,
        "kind": kind_of(table.draft),
        "how": file_words(table),
        "notes": [*table.sheet.notes, *plan.notes],
        "total": len(matched.rows),
        "problems": plan.problems[:MOST_SHOWN],
        "problem_count": len(plan.problems),
        "new": plan.new[:MOST_SHOWN],
        "new_count": len(plan.new),
        "gaining": plan.gaining[:MOST_SHOWN],
        "gaining_count": len(plan.gaining),
        "same_count": len(same),
        "differing": differing[:MOST_SHOWN],
        "differing_count": len(differing),
        "warned": sorted(warned, key=lambda row: row.line)[:MOST_SHOWN],
        "left_out": plan.left_out,
        "invites": bool(table.answers.get("invite")) and len(plan.new),
        "samples": []
        if table.source.letters is None or table.source.letters.sure
        else table.source.samples(),
        "seal": plan.seal,
        "may_save": plan.may_save,
    }


@dataclass(frozen=True)
class MadeRow:
    """One record that an import made, and its page."""

    words: str
    url: str


def _shown(rows: QuerySet[Any], keys: list[int], url_name: str) -> list[MadeRow]:
    return [
        MadeRow(str(row), reverse(url_name, args=[row.pk])) for row in rows.filter(pk__in=keys[:MOST_SHOWN])
    ]


def made_context(done: TableImport, user: User, *, at: datetime) -> dict[str, Any]:
    """What an import made, as far as it is still there and `user` may see it."""
    kind = kind_of(done)
    sources: dict[str, tuple[QuerySet[Any], str, str]] = {
        "people": (User.objects.visible_to(user), "people:person_detail", _("People")),
        "landholders": (
            Landholder.objects.visible_to(user),
            "permissions:landholder_detail",
            _("Landholders"),
        ),
        "sites": (Site.objects.visible_to(user).defer("boundary"), "permissions:site_detail", _("Sites")),
        "outings": (Hunt.objects.visible_to(user), "hunts:detail", _("Past outings")),
        "finds": (Find.objects.visible_to(user), "finds:detail", _("Finds")),
    }
    groups = [
        {"title": sources[name][2], "number": len(keys), "rows": _shown(*_ends(sources[name], keys))}
        for name, keys in done.made.items()
        if keys
    ]
    finds = made_of(done.made["finds"], user) if done.kind == TableKind.FINDS else {}
    return {
        "done": done,
        "kind": kind,
        "groups": groups,
        "may_take_back": _may_take_back(done, kind, at),
        **finds,
    }


def _ends(source: tuple[QuerySet[Any], str, str], keys: list[int]) -> tuple[QuerySet[Any], list[int], str]:
    return source[0], keys, source[1]


def _may_take_back(done: TableImport, kind: ImportKind, at: datetime) -> bool:
    return kind.take_back is not None and done.taken_back_at is None and at <= done.made_at + BACK_WITHIN
