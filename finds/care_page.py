"""What a find's page and its bag label say about its care, and which figures are worth a second look."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from finds.coin_record import notes_of
from finds.first_aid import Care, bag_line, book, care_for
from finds.models import Find


@dataclass(frozen=True, slots=True)
class CareShown:
    """The rule for everything, what applies to this object, how to pack it, and what does not fit for such a coin."""

    general: str
    packing: str
    cares: tuple[Care, ...]
    notes: tuple[str, ...]


def care_shown(find: Find) -> CareShown:
    """For the page of `find`; its materials and site are loaded."""
    return CareShown(book().general, book().packing, cares_of(find), notes_of(find, find.materials.all()))


def cares_of(find: Find) -> tuple[Care, ...]:
    """The first aid that its materials, in any words, and its description call for."""
    rows: Iterable[Any] = find.materials.all()
    materials = [f"{row.get_material_display()} {row.words}" for row in rows]
    words = f"{find.object_type} {find.context} {find.condition} {find.description}"
    return care_for(materials, words, find.year_to)


def label_line(find: Find) -> str:
    """One short line for the bag; empty where nothing is known of its materials."""
    return bag_line(cares_of(find))
