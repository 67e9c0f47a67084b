"""Finds as rows of a CSV file, each place only as finely as the reader may see it."""

import re
from collections.abc import Callable, Iterator
from datetime import datetime
from decimal import Decimal
from itertools import groupby
from typing import Any

from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from finds.circumstances import has_no_precious, ticks_from
from finds.csv_columns import COLUMNS, EXTRA
from finds.import_ground import portions
from finds.models import Find, FindMaterial
from finds.points import all_shown_to, point_of
from finds.screens import reader_rights
from people.models import User
from people.sensitivity import Precision, ShownPoint
from web.csv_safe import Cell, csv_lines

HEADER = [*(column.name for column in COLUMNS), *EXTRA]
WHERE = "finds as CSV"
_LEFT = ("site__boundary", "hunt__gate_answer", "hunt__briefing", "hunt__leader_report")
Materials = list[tuple[str, str, Decimal | None]]


def export_lines(finds: Any, user: User, *, at: datetime, with_locked: bool = False) -> Iterator[str]:
    """The file's lines, header first, for the queryset `finds`. Memory and queries do not grow with the rows.

    The place of a locked find is left out, unless `with_locked` asks for it and `user` may see it; then the look is
    recorded before its row is written.
    """
    return csv_lines(HEADER, _rows(finds, user, at=at, with_locked=with_locked))


def _rows(finds: Any, user: User, *, at: datetime, with_locked: bool) -> Iterator[list[Cell]]:
    for part in portions(_with_materials(finds)):
        batch = [find for find, _rest in part]
        if with_locked:
            points = all_shown_to(batch, user, at=at, where=WHERE)
        else:
            points = {find.pk: None if find.locked else point_of(find, user) for find in batch}
        for find, materials in part:
            yield _row(find, materials, points[find.pk], user)


def _with_materials(finds: Any) -> Iterator[tuple[Find, Materials]]:
    """Finds and their materials in two streams side by side, in one order."""
    rows = finds.order_by("-found_at", "-pk").select_related("finder", "hunt", "site").defer(*_LEFT)
    parts = FindMaterial.objects.filter(find__in=finds.order_by().values("pk"))
    parts = parts.order_by("-find__found_at", "-find_id", "pk")
    columns = ("find__found_at", "find_id", "material", "words", "share_percent")
    stream = parts.values_list(*columns).iterator(chunk_size=2000)
    groups = groupby(stream, key=lambda part: part[:2])
    key, group = next(groups, (None, None))
    for find in rows.iterator(chunk_size=500):
        mine = find.found_at, find.pk
        while key is not None and key > mine:  # of a find that came or went between the two questions
            key, group = next(groups, (None, None))
        materials: Materials = [part[2:] for part in group] if group and key == mine else []
        yield find, materials


def _row(find: Find, materials: Materials, point: ShownPoint | None, user: User) -> list[Cell]:
    close = reader_rights(find, user)["may_see_screening"]
    values: dict[str, Cell] = {c.name: getattr(find, c.field) for c in COLUMNS if c.field}
    values |= {name: write(find) for name, write in _WRITTEN.items()}
    values |= {"materials": _materials(materials)} | _place(find, point)
    values["made for"] = user.name
    if not close:
        values |= dict.fromkeys(_PRIVATE, "")
    return [_plain(values.get(name)) for name in HEADER]


def _plain(value: Any) -> Cell:
    """What csv_safe knows: days as text."""
    return value if value is None or isinstance(value, str | int | float | Decimal) else str(value)


# What the law's questions were answered is for those who may see the screening.
_PRIVATE = ("own reference", "circumstances", "no gold or silver", "realised on")
_WRITTEN: dict[str, Callable[[Find], Cell]] = {
    "hunt": lambda find: find.hunt.code,
    "finder": lambda find: find.finder.name,
    "site": lambda find: find.site.code,
    "found on": lambda find: f"{localtime(find.found_at):%Y-%m-%d}",
    "time": lambda find: f"{localtime(find.found_at):%H:%M}",
    "no gold or silver": lambda find: "yes" if has_no_precious(find.facts) else "",
    "circumstances": lambda find: "; ".join(name.replace("_", " ") for name in ticks_from(find.facts)),
    "weight (g)": lambda find: find.weight_g,
    "number": lambda find: find.number,
    "locked": lambda find: "yes" if find.locked else "no",
    "recorded on": lambda find: f"{localtime(find.recorded_at):%Y-%m-%d}",
}


def _materials(rows: Materials) -> str:
    return "; ".join(_material(*row) for row in rows)


def _material(name: str, words: str, share: Decimal | None) -> str:
    """As csv_values.read_shares reads it again; brackets and semicolons of the words would part them."""
    inside = f" ({re.sub('[();|+]', ' ', words)})" if words else ""
    return f"{name}{inside}" + (f" {share.normalize():f} %" if share is not None else "")


def _place(find: Find, shown: ShownPoint | None) -> dict[str, Cell]:
    """The columns of the place. On which side of the boundary it lies is part of it: only a full view says that."""
    if shown is None:
        words = "locked" if find.locked else _("not recorded")
        return {"position": "", "position accuracy (m)": None, "position precision": words}
    outside = ""
    if shown.precision is Precision.FULL:
        position = f"{shown.lat:.6f}, {shown.lon:.6f}"
        outside = "yes" if find.placing == "outside" else ""
    else:
        position = shown.label.removesuffix(f" ({Precision.SQUARE})")
    return {
        "outside is right": outside,
        "position": position,
        "position accuracy (m)": shown.accuracy_m,
        "position precision": shown.precision.value,
    }
