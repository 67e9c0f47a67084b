"""Every write to finds, groups, screening, cases and custody."""

from finds.actions.cases import add_note, case_reported, decide_case, move_case
from finds.actions.custody import NotTheHolderError, hand_over
from finds.actions.drills import DrillStandsError, free_place
from finds.actions.groups import GroupError, add_to_group, make_group, take_out
from finds.actions.imports import (
    ImportChangedError,
    discard_find_import,
    keep_find_import,
    reread_find_import,
    save_find_import,
)
from finds.actions.pairs import (
    PairError,
    answer_pair,
    ask_finder,
    decide_apart,
    decide_same,
    propose_pair,
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
from finds.actions.suggest import suggest_on_site

__all__ = [
    "DrillStandsError",
    "FindDateError",
    "GroupError",
    "ImportChangedError",
    "NotOnHuntError",
    "NotTheHolderError",
    "PairError",
    "add_note",
    "add_photos",
    "add_to_group",
    "answer_facts",
    "answer_pair",
    "ask_finder",
    "case_reported",
    "change_find",
    "decide_apart",
    "decide_case",
    "decide_same",
    "discard_find_import",
    "free_place",
    "hand_over",
    "keep_find_import",
    "make_group",
    "move_case",
    "propose_pair",
    "record_find",
    "reread_find_import",
    "rescreen",
    "save_find_import",
    "see_findspots",
    "suggest_on_site",
    "take_out",
    "withdraw_find",
]
