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
from finds.actions.links import LinkError, link_finds, unlink_finds
from finds.actions.pairs import (
    PairError,
    answer_pair,
    ask_finder,
    decide_apart,
    decide_same,
    propose_pair,
)
from finds.actions.photos import add_photos, describe_photo
from finds.actions.record import (
    FindDateError,
    NotOnHuntError,
    answer_facts,
    change_find,
    record_find,
    withdraw_find,
)
from finds.actions.rescreening import BATCH, rescreen_batch, start_rescreening
from finds.actions.screening import rescreen, see_findspots

__all__ = [
    "BATCH",
    "DrillStandsError",
    "FindDateError",
    "GroupError",
    "ImportChangedError",
    "LinkError",
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
    "describe_photo",
    "discard_find_import",
    "free_place",
    "hand_over",
    "keep_find_import",
    "link_finds",
    "make_group",
    "move_case",
    "propose_pair",
    "record_find",
    "reread_find_import",
    "rescreen",
    "rescreen_batch",
    "save_find_import",
    "see_findspots",
    "start_rescreening",
    "take_out",
    "unlink_finds",
    "withdraw_find",
]
