"""The columns of a table of finds: one list from which template, guide, import and export are made."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

from django.utils.functional import lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.circumstances import TICKS
from finds.csv_cells import read_any_weight, read_circumstances, read_edtf_text, read_material, spellings_of
from finds.csv_values import read_shares, read_year
from finds.models.choices import Certainty, Material, Tri
from web.tables.rows import tidy
from web.tables.values import (
    one_of,
    read_choice,
    read_date,
    read_number,
    read_time,
    read_whole,
    read_yes,
)  # fmt: skip


@dataclass(frozen=True)
class Column:
    """One column. `field` is the column of Find it fills by itself, if any; `read` turns its text into a value;
    `words` may be lazy."""

    name: str
    words: Any
    example: str = ""
    read: Callable[[str], Any] = str
    field: str = ""
    others: tuple[str, ...] = ()
    is_needed: bool = False


def _mm(name: str, words: Any) -> Column:
    return Column(f"{name} (mm)", words, "", partial(read_number, unit="mm", places=1), f"{name}_mm", (name,))


def _later(words: Callable[[], str]) -> Any:
    return lazy(words, str)()  # words with a value in them, said when they are shown


def _materials_words() -> str:
    return _(
        "One or several with semicolons between; words in brackets and the share in per cent may follow. "
        "Listed are %(listed)s; other words are kept as they are."
    ) % {"listed": _LISTED}


def _circumstances_words() -> str:
    listed = "; ".join(f"{name.replace('_', ' ')} ({_(words).lower()})" for name, words in TICKS.items())
    return _("What applies, with semicolons between, or none: %(listed)s.") % {"listed": listed}


_COIN = one_of(choice.value for choice in Tri) | {"not known": Tri.UNKNOWN.value, "y": "yes", "n": "no"}
_LISTED = ", ".join(choice.value for choice in Material)

COLUMNS: tuple[Column, ...] = (
    Column(
        "hunt", _lazy("The hunt's code, as on its page."), "H2026-004", is_needed=True, others=("hunt code",)
    ),
    Column(
        "own reference",
        _lazy(
            "Your own number for this find, such as the one on its bag. By it a row is known again when you send the "
            "file a second time, also after you changed the row."
        ),
        "bag 17",
        field="own_reference",
        others=("reference", "my reference", "finder's own reference"),
    ),
    Column(
        "finder",
        _lazy("Who found it: e-mail address or name as in the club's list. Empty means you."),
        "Ned Spit",
    ),
    Column(
        "site",
        _lazy("The field's code. It may stay empty where the hunt was on one field."),
        "SF04",
        others=("field",),
    ),
    Column(
        "found on",
        _lazy("The day. It has to be the hunt's day, and may stay empty."),
        "2026-03-14",
        others=("date",),
    ),
    Column(
        "time",
        _lazy("The time of day. Empty means that it is not known: the hunt's finish is kept."),
        "11:40",
        read_time,
    ),
    Column(
        "object",
        _lazy("What it is, in a few words."),
        "buckle",
        field="object_type",
        others=("object type",),
        is_needed=True,
    ),
    Column(
        "how many",
        _lazy("How many like objects the row stands for. Empty means one."),
        "1",
        partial(read_whole, least=1),
        "count",
        ("count", "number of objects", "quantity"),
    ),
    Column(
        "coin",
        _lazy("Is it a coin or token? yes, no or unknown."),
        "no",
        lambda text: read_choice(text, _COIN),
        "is_coin",
        ("coin or token",),
    ),
    Column(
        "materials",
        _later(_materials_words),
        "silver 92.5 %; copper alloy (brass)",
        lambda text: read_shares(text, read_material),
        others=("material",),
    ),
    Column(
        "no gold or silver",
        _lazy("yes, only if somebody looked for both, plating included. Empty when in doubt."),
        "",
        read_yes,
        others=("no precious",),
    ),
    Column(
        "circumstances",
        _later(_circumstances_words),
        "none",
        read_circumstances,
    ),
    Column(
        "weight (g)",
        _lazy("In grams; another unit may be written after the figure: 22 grains."),
        "4.2",
        read_any_weight,
        others=("weight",),
    ),
    Column(
        "depth (cm)",
        _lazy("In centimetres."),
        "18",
        partial(read_whole, unit="cm", least=0),
        "depth_cm",
        ("depth",),
    ),
    _mm("length", _lazy("Length in millimetres.")),
    _mm("width", _lazy("Width in millimetres.")),
    _mm("thickness", _lazy("Thickness in millimetres.")),
    _mm("diameter", _lazy("Diameter in millimetres.")),
    Column(
        "inscription",
        _lazy("Letters or marks as they can be read."),
        "",
        field="inscription",
        others=("marks",),
    ),
    Column("period", _lazy("The period in words."), "medieval", field="period"),
    Column(
        "date in EDTF",
        _lazy("When it was made, in the Extended Date/Time Format; then the two years may stay empty."),
        "",
        read_edtf_text,
        "edtf",
        ("edtf",),
    ),
    Column(
        "year from",
        _lazy("The earliest year it can have been made; before Christ as -50 or 50 BC."),
        "1300",
        read_year,
        "year_from",
        ("made from", "date from"),
    ),
    Column("year to", _lazy("The latest year."), "1400", read_year, "year_to", ("made to", "date to")),
    Column(
        "how sure",
        _lazy("certain, probable, possible or unknown."),
        "probable",
        lambda text: read_choice(text, spellings_of(Certainty)),
        "certainty",
        ("certainty",),
    ),
    Column("identified by", _lazy("Who said what it is."), "", field="identified_by"),
    Column("identified on", _lazy("The day on which it was said what it is."), "", field="identified_on"),
    Column("completeness", _lazy("Whole, or which part is left."), "complete", field="completeness"),
    Column("condition", _lazy("How it is kept."), "worn", field="condition"),
    Column("context", _lazy("Where in the ground, such as plough soil."), "plough soil", field="context"),
    Column(
        "description",
        _lazy("Anything else. It may have several lines."),
        "",
        field="description",
        others=("notes",),
    ),
    Column(
        "realised on",
        _lazy("The day on which somebody realised that it might have to be reported."),
        "",
        field="realised_on",
    ),
    Column(
        "position",
        _lazy("A grid reference, or latitude and longitude. It is read for the field's own country."),
        "TA 4321 1234",
        others=("where", "grid reference", "ngr", "findspot"),
    ),
    Column(
        "position accuracy (m)",
        _lazy("How exact that is, in metres, if the receiver said it."),
        "5",
        partial(read_number, unit="m"),
        others=("accuracy", "accuracy m"),
    ),
    Column(
        "outside is right",
        _lazy("yes, where the place lies outside the field's boundary and is right nevertheless."),
        "",
        read_yes,
    ),
)
BY_NAME = {column.name: column for column in COLUMNS}
NUMBER = "number"
# What an export says besides; an import passes over it, but for the number, by which a record here is known.
EXTRA = (NUMBER, "position precision", "locked", "recorded on", "made for")
DATES = ("found on", "identified on", "realised on")
KNOWN: dict[str, str] = {
    **{tidy(spelling): c.name for c in COLUMNS for spelling in (c.name, *c.others)},
    **{tidy(name): name for name in (*EXTRA, "find number")},
    tidy("find number"): NUMBER,
}


def reader_of_column(name: str, *, order: str = "") -> Callable[[str], Any]:
    """How the text of column `name` is read. `order` is what 03/04/2025 means."""
    return partial(read_date, order=order) if name in DATES else BY_NAME[name].read
