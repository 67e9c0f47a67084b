"""Every write to finds, groups, screening, cases and custody."""

from finds.actions.boxes import BoxError, into_box, read_box, save_box, take_out_of_box
from finds.actions.case_outcome import RewardPart, decide_case
from finds.actions.case_steps import CaseError
from finds.actions.case_talk import add_case_task, case_task_done, reach_stage, send_case_message
from finds.actions.cases import add_note, case_acknowledged, case_reported, move_case
from finds.actions.custody import CustodyError, NotTheHolderError, hand_over, record_loss
from finds.actions.drills import DrillStandsError, free_place
from finds.actions.four_eyes import answer_no_duty, propose_no_duty, take_back_no_duty
from finds.actions.groups import GroupError, add_to_group, make_group, take_out
from finds.actions.hand_over_links import (
    add_condition_photos,
    hand_over_opened,
    make_hand_over_link,
    revoke_hand_over_link,
)
from finds.actions.hand_over_proposals import propose_hand_over
from finds.actions.hand_overs import (
    OutdatedError,
    answer_missing,
    cancel_hand_over,
    complete_hand_over,
    confirm_hand_over,
    refuse_hand_over,
    sign_hand_over,
)
from finds.actions.imports import (
    ImportChangedError,
    discard_find_import,
    keep_find_import,
    reread_find_import,
    save_find_import,
)
from finds.actions.links import LinkError, link_finds, unlink_finds
from finds.actions.looks import see_findspots
from finds.actions.old_finds import save_old_finds
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
from finds.actions.screening import rescreen
from finds.actions.sheets import change_sheet, make_sheet, record_payment, replace_sheet, take_off_sheet
from finds.actions.worth import add_valuation, set_fate

__all__ = [
    "BATCH",
    "BoxError",
    "CaseError",
    "CustodyError",
    "DrillStandsError",
    "FindDateError",
    "GroupError",
    "ImportChangedError",
    "LinkError",
    "NotOnHuntError",
    "NotTheHolderError",
    "OutdatedError",
    "PairError",
    "RewardPart",
    "add_case_task",
    "add_condition_photos",
    "add_note",
    "add_photos",
    "add_to_group",
    "add_valuation",
    "answer_facts",
    "answer_missing",
    "answer_no_duty",
    "answer_pair",
    "ask_finder",
    "cancel_hand_over",
    "case_acknowledged",
    "case_reported",
    "case_task_done",
    "change_find",
    "change_sheet",
    "complete_hand_over",
    "confirm_hand_over",
    "decide_apart",
    "decide_case",
    "decide_same",
    "describe_photo",
    "discard_find_import",
    "free_place",
    "hand_over",
    "hand_over_opened",
    "into_box",
    "keep_find_import",
    "link_finds",
    "make_group",
    "make_hand_over_link",
    "make_sheet",
    "move_case",
    "propose_hand_over",
    "propose_no_duty",
    "propose_pair",
    "reach_stage",
    "read_box",
    "record_find",
    "record_loss",
    "record_payment",
    "refuse_hand_over",
    "replace_sheet",
    "reread_find_import",
    "rescreen",
    "rescreen_batch",
    "revoke_hand_over_link",
    "save_box",
    "save_find_import",
    "save_old_finds",
    "see_findspots",
    "send_case_message",
    "set_fate",
    "sign_hand_over",
    "start_rescreening",
    "take_back_no_duty",
    "take_off_sheet",
    "take_out",
    "take_out_of_box",
    "unlink_finds",
    "withdraw_find",
]
