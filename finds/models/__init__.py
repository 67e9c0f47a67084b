"""Finds, their photographs and groups, screening, cases and custody."""

from finds.models.box import Box, BoxMove, BoxReading
from finds.models.case import Case, CaseEvent
from finds.models.case_outcome import CaseOutcome, RewardShare
from finds.models.case_parts import CaseMessage, CaseReport, CaseStage, CaseTask
from finds.models.case_vote import CaseVote
from finds.models.custody import CustodyEntry
from finds.models.draft import FindImportDraft
from finds.models.drill import FindDrill
from finds.models.find import Find, FindGroup, FindNumber
from finds.models.group_event import GroupEvent
from finds.models.hand_over import (
    ConditionPhoto,
    HandOver,
    HandOverItem,
    HandOverLink,
    HandOverSignature,
)
from finds.models.pair import PairEvent, PairSuggestion
from finds.models.parts import FindLink, FindMaterial, FindPhoto
from finds.models.rescreening import RescreenedFind, Rescreening
from finds.models.screening import FindspotView, ScreeningRecord
from finds.models.settlement import FindFate, Sheet, SheetPayment, SheetRow, SheetShare, Valuation

__all__ = [
    "Box",
    "BoxMove",
    "BoxReading",
    "Case",
    "CaseEvent",
    "CaseMessage",
    "CaseOutcome",
    "CaseReport",
    "CaseStage",
    "CaseTask",
    "CaseVote",
    "ConditionPhoto",
    "CustodyEntry",
    "Find",
    "FindDrill",
    "FindFate",
    "FindGroup",
    "FindImportDraft",
    "FindLink",
    "FindMaterial",
    "FindNumber",
    "FindPhoto",
    "FindspotView",
    "GroupEvent",
    "HandOver",
    "HandOverItem",
    "HandOverLink",
    "HandOverSignature",
    "PairEvent",
    "PairSuggestion",
    "RescreenedFind",
    "Rescreening",
    "RewardShare",
    "ScreeningRecord",
    "Sheet",
    "SheetPayment",
    "SheetRow",
    "SheetShare",
    "Valuation",
]
