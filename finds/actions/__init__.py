"""Every write to finds, groups, screening, cases and custody."""

from finds.actions.cases import add_note, case_reported, decide_case, move_case
from finds.actions.custody import NotTheHolderError, hand_over
from finds.actions.drills import DrillStandsError, free_place
from finds.actions.groups import make_group
from finds.actions.imports import (
    ImportChangedError,
    discard_find_import,
    keep_find_import,
    reread_find_import,
    save_find_import,
)
from finds.actions.photos import add_photos
from finds.actions.record import (
    FindDateError,
    NotOnHuntError,
    answer_facts,
    change_find,
    record_find,
    withdraw_find,
)
from finds.actions.screening import rescreen, see_findspots

__all__ = [
    "DrillStandsError",
    "FindDateError",
    "ImportChangedError",
    "NotOnHuntError",
    "NotTheHolderError",
    "add_note",
    "add_photos",
    "answer_facts",
    "case_reported",
    "change_find",
    "decide_case",
    "discard_find_import",
    "free_place",
    "hand_over",
    "keep_find_import",
    "make_group",
    "move_case",
    "record_find",
    "reread_find_import",
    "rescreen",
    "save_find_import",
    "see_findspots",
    "withdraw_find",
]
