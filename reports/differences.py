"""What one issue of a report says and another does not, block by block, in words and figures (pure)."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from enum import StrEnum

from django.utils.translation import gettext as _

from reports.blocks import (
    Block,
    Bullets,
    FactList,
    Heading,
    MapBlock,
    Notice,
    Paragraph,
    PhotoGrid,
    PhotoPair,
    Report,
    SignatureBox,
    Table,
)
from tongue import noop

_WORDS = re.compile(r"\s+|[\w.,:’'-]+|[^\w\s]")
MOST_WORDS = 4000
"""Longer texts are shown whole, before and after: comparing word by word takes time with the square of the length."""


class What(StrEnum):
    """The word that is shown, so that no meaning hangs on colour."""

    ADDED = noop("Added")
    REMOVED = noop("Removed")
    CHANGED = noop("Changed")


class Piece(StrEnum):
    SAME = "same"
    GONE = "gone"
    NEW = "new"


@dataclass(frozen=True, slots=True)
class Part:
    """Some words of a change: in both texts, only in the earlier, or only in the later one."""

    piece: Piece
    text: str


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that differs: `label` names it within its section, `parts` show it word by word."""

    what: What
    label: str
    was: str
    now: str
    parts: tuple[Part, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """The changes under one heading, in the order of the later report."""

    title: str
    changes: tuple[Change, ...]


@dataclass(slots=True)
class _Walk:
    """Where in the report we are, and how often each label was met there."""

    object: str = field(default_factory=lambda: _("The report"))
    part: str = ""
    seen: dict[tuple[str, str], int] = field(default_factory=dict)

    def key(self, label: str) -> tuple[str, str]:
        section = f"{self.object}, {self.part.lower()}" if self.part else self.object
        number = self.seen[section, label] = self.seen.get((section, label), 0) + 1
        return section, label if number == 1 else f"{label} ({number})"


def differences(before: Report, after: Report) -> list[Section]:
    """The sections in which `after` differs from `before`. Number and day of issue always differ and are left out."""
    old, new = dict(_entries(before)), dict(_entries(after))
    found: dict[str, list[Change]] = {}
    for key in _in_order(list(old), list(new)):
        change = _change(key[1], old.get(key), new.get(key))
        if change is not None:
            found.setdefault(key[0], []).append(change)
    return [Section(title, tuple(changes)) for title, changes in found.items()]


def _in_order(old: list[tuple[str, str]], new: list[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Every key once: those of the later report in its order, what is gone where it stood."""
    kept = set(new)
    for tag, old_from, old_to, new_from, new_to in SequenceMatcher(
        None, old, new, autojunk=False
    ).get_opcodes():
        if tag in {"delete", "replace"}:
            yield from (key for key in old[old_from:old_to] if key not in kept)
        yield from new[new_from:new_to]


def _change(label: str, was: str | None, now: str | None) -> Change | None:
    if was == now:
        return None
    if was is None:
        return Change(What.ADDED, label, "", now or "")
    if now is None:
        return Change(What.REMOVED, label, was, "")
    return Change(What.CHANGED, label, was, now, word_by_word(was, now))


def word_by_word(was: str, now: str) -> tuple[Part, ...]:
    """Both texts as one row of parts; very long ones as two parts, the earlier and the later."""
    old, new = _WORDS.findall(was), _WORDS.findall(now)
    if len(old) + len(new) > MOST_WORDS:
        return (Part(Piece.GONE, was), Part(Piece.NEW, now))
    parts = []
    for tag, old_from, old_to, new_from, new_to in SequenceMatcher(
        None, old, new, autojunk=False
    ).get_opcodes():
        if tag == "equal":
            parts.append(Part(Piece.SAME, "".join(old[old_from:old_to])))
            continue
        if old_to > old_from:
            parts.append(Part(Piece.GONE, "".join(old[old_from:old_to])))
        if new_to > new_from:
            parts.append(Part(Piece.NEW, "".join(new[new_from:new_to])))
    return tuple(parts)


def _entries(report: Report) -> Iterator[tuple[tuple[str, str], str]]:
    """Everything the report says as single texts, each under its section and label."""
    walk = _Walk()
    yield walk.key(_("Title")), report.title
    yield walk.key(_("Subtitle")), report.subtitle
    yield walk.key(_("Club")), report.club
    for fact in report.facts:
        yield walk.key(fact.label), fact.value
    for block in report.blocks:
        if isinstance(block, Heading):
            # An object keeps its number when its name changes; the name is compared, the number finds it.
            number = block.text.split(":")[0]
            walk.object, walk.part = (number, "") if block.level == 2 else (walk.object, block.text)
            if block.level == 2:
                yield walk.key(_("Heading")), block.text
        else:
            for label, text in _texts(block):
                yield walk.key(label), text


def _texts(block: Block) -> Iterator[tuple[str, str]]:
    """One block as labelled texts."""
    match block:
        case Paragraph():
            yield _("Words"), block.text
        case FactList():
            yield from ((fact.label, fact.value) for fact in block.facts)
        case Table():
            yield from _table(block)
        case Notice():
            yield block.title or block.kind.word, block.text
        case Bullets():
            yield from ((_("Point"), item) for item in block.items)
        case SignatureBox():
            yield _("To sign"), f"{block.statement} {', '.join(block.people)}"
        case MapBlock():
            yield _("Map"), f"{block.alt} {block.caption}".strip()
            yield _("Drawing of the map"), block.svg
        case PhotoGrid() | PhotoPair():
            yield from _photographs(block)


def _table(table: Table) -> Iterator[tuple[str, str]]:
    """Each row under its first cell; rows that begin alike are told apart by their number."""
    for row in table.rows:
        cells = zip(table.columns[1:], row[1:], strict=True)
        said = "; ".join(f"{column.label}: {cell}" for column, cell in cells if cell)
        yield f"{table.caption}, {row[0]}", said
    if table.note:
        yield _("%(table_caption)s, note") % {"table_caption": table.caption}, table.note


def _photographs(block: PhotoGrid | PhotoPair) -> Iterator[tuple[str, str]]:
    photos = block.photos if isinstance(block, PhotoGrid) else (block.before, block.after)
    for photo in photos:
        if photo is not None:
            yield _("Photograph %(value)s") % {"value": photo.key.split("-")[-1]}, photo.caption or photo.alt
