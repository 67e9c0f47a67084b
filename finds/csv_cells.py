"""How a cell of a table of finds is read, where a general reader does not know enough."""

from dataclasses import replace
from typing import Any

from django.utils.translation import gettext as _

from finds.circumstances import NONE, TICKS
from finds.described import material_of
from finds.edtf_dates import EdtfError, read_edtf
from finds.weights import Weight, WeightError, read_weight
from web.tables.errors import CellError
from web.tables.values import (
    read_choice,
    read_list,
    read_number,
)


def spellings_of(of: Any) -> dict[str, str]:
    """What may be written for each choice: the kept value or the words of the form."""
    return {str(choice.value): str(choice.value) for choice in of} | {
        str(choice.label): str(choice.value) for choice in of
    }


def read_circumstances(text: str) -> list[str]:
    """Keys of TICKS, or NONE alone."""
    words = {name.replace("_", " "): name for name in TICKS} | {NONE: NONE}
    found = [read_choice(part, words) for part in read_list(text)]
    if NONE in found and len(set(found)) > 1:
        raise CellError(_("“%(text)s” says none and another") % {"text": text}, _("keep one or the other"))
    return found


def read_any_weight(text: str) -> Weight:
    """A weight in any usual unit; a bare figure is grams, read as strictly as every other figure."""
    try:
        weight = read_weight(text)
    except WeightError as error:
        raise CellError(
            _("“%(text)s” is not a weight that can be read") % {"text": text},
            _("give grams, such as 4.2, or 22 grains"),
        ) from error
    return weight if weight.words else replace(weight, grams=read_number(text, unit="g", places=2))


def read_material(text: str) -> tuple[str, str]:
    """The listed material, and the words where they say more; what is not listed is “other”, with its words."""
    material, words = material_of(text)
    if len(words) > 60:
        raise CellError(
            _("“%(words)s…” is too long for a material") % {"words": words[:40]},
            _("keep it to 60 letters; more goes to description"),
        )
    return str(material.value), words


def read_edtf_text(text: str) -> str:
    try:
        read_edtf(text)
    except EdtfError as error:
        raise CellError(
            _("“%(text)s” is not a date in EDTF") % {"text": text}, _("write 1275, 1275/1300, 13XX or 1275~")
        ) from error
    return text
