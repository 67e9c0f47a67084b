"""What a report says, apart from how it looks: frozen, written once as JSON, drawn as a page and as a PDF."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum

from django.utils.translation import gettext as _
from django.utils.translation import pgettext as _p

from web.languages import tag_now


class ReportError(ValueError):
    """A report that cannot be built or read back; the sentence says which value and what it should be."""


class NoticeKind(StrEnum):
    """Each has a word and a shape of its own, so that no meaning hangs on colour."""

    CAUTION = "caution"
    OPEN = "open"
    LATE = "late"

    @property
    def word(self) -> str:
        return {"caution": _("Caution"), "open": _("Still open"), "late": _("Overdue")}[self.value]


@dataclass(frozen=True, slots=True)
class Fact:
    """One label and its value, both plain text."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class Heading:
    """A section heading; level 2 or 3, the report's title being level 1."""

    text: str
    level: int = 2

    def __post_init__(self) -> None:
        if self.level not in (2, 3):
            raise ReportError(
                _("Heading “%(text)s” has level %(level)s; give 2 or 3.")
                % {"text": self.text, "level": self.level}
            )


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Plain text; a blank line starts a new paragraph, a single line break stays a line break."""

    text: str


@dataclass(frozen=True, slots=True)
class FactList:
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """A table column; figures are set flush right with figures of one width."""

    label: str
    numeric: bool = False


def say_columns(columns: Iterable[Column]) -> tuple[Column, ...]:
    """The columns of a module's table, whose labels are `noop`, in the language spoken now."""
    return tuple(replace(column, label=_(column.label)) for column in columns)


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under columns; the first column heads its row."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""

    def __post_init__(self) -> None:
        if not self.columns:
            raise ReportError(
                _("Table “%(caption)s” has no columns; give at least one.") % {"caption": self.caption}
            )
        for number, row in enumerate(self.rows, 1):
            if len(row) != len(self.columns):
                place = _("Table “%(caption)s”, row %(number)s") % {"caption": self.caption, "number": number}
                raise ReportError(
                    _("%(place)s has %(row)s cells; give %(columns)s, one a column.")
                    % {"place": place, "row": len(row), "columns": len(self.columns)}
                )


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph by its key in the store; `alt` says what it shows to someone who cannot see it."""

    key: str
    alt: str
    caption: str = ""

    def __post_init__(self) -> None:
        if not self.alt.strip():
            raise ReportError(
                _("Photograph %(key)s has no text for those who cannot see it; say what it shows.")
                % {"key": repr(self.key)}
            )


@dataclass(frozen=True, slots=True)
class PhotoGrid:
    """Photographs side by side, up to six across."""

    photos: tuple[Photo, ...]
    columns: int = 3

    def __post_init__(self) -> None:
        if not 1 <= self.columns <= 6:
            raise ReportError(
                _("A photo grid has %(columns)s columns; give 1 to 6.") % {"columns": self.columns}
            )


@dataclass(frozen=True, slots=True)
class PhotoPair:
    """Two states of one place, such as a hole open and filled; either may be missing."""

    title: str
    before: Photo | None
    after: Photo | None
    before_label: str = field(default_factory=lambda: _p("photograph of a hole", "Open"))
    after_label: str = field(default_factory=lambda: _("Filled"))


@dataclass(frozen=True, slots=True)
class MapBlock:
    """A drawn map as SVG text; `alt` says in words what it shows."""

    svg: str
    alt: str
    caption: str = ""

    def __post_init__(self) -> None:
        if not self.alt.strip():
            raise ReportError(_("The map has no text for those who cannot see it; say what it shows."))


@dataclass(frozen=True, slots=True)
class Notice:
    kind: NoticeKind
    text: str
    title: str = ""


@dataclass(frozen=True, slots=True)
class SignatureBox:
    """A statement and one line each for the people named by their part, such as 'For the club'."""

    statement: str
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Bullets:
    items: tuple[str, ...]
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows starts on a new page when printed."""


Block = (
    Heading
    | Paragraph
    | FactList
    | Table
    | PhotoGrid
    | PhotoPair
    | MapBlock
    | Notice
    | SignatureBox
    | Bullets
    | PageBreak
)


@dataclass(frozen=True, slots=True)
class Report:
    """One report as sent. `language` is a BCP 47 tag such as 'en-GB'; `number` is printed on every page."""

    kind: str
    number: str
    title: str
    subtitle: str
    club: str
    issued_on: date
    facts: tuple[Fact, ...]
    blocks: tuple[Block, ...]
    language: str = field(default_factory=tag_now)

    def __post_init__(self) -> None:
        if not self.title.strip():
            raise ReportError(_("Report %(number)s has no title; give one.") % {"number": repr(self.number)})


def photo_keys(report: Report) -> frozenset[str]:
    """The key of every photograph the report shows."""
    shown: list[Photo | None] = []
    for block in report.blocks:
        if isinstance(block, PhotoGrid):
            shown += block.photos
        elif isinstance(block, PhotoPair):
            shown += [block.before, block.after]
    return frozenset(photo.key for photo in shown if photo is not None)
