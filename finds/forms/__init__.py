"""Forms about finds, cases and custody."""

from finds.forms.case import (
    CustodyForm,
    DecideForm,
    GroupForm,
    MoveForm,
    NoteForm,
    ReportedForm,
    WithdrawForm,
)
from finds.forms.facts import FactsForm
from finds.forms.filters import FindFilterForm, FrameForm
from finds.forms.find import FindForm
from finds.forms.imports import ReadAgainForm, SealForm, TableFileForm
from finds.forms.pairs import AnswerForm, GroupAddForm, PairForm, TakeOutForm, TogetherForm
from finds.forms.photos import PhotosForm
from finds.forms.quick import QuickForm

__all__ = [
    "AnswerForm",
    "CustodyForm",
    "DecideForm",
    "FactsForm",
    "FindFilterForm",
    "FindForm",
    "FrameForm",
    "GroupAddForm",
    "GroupForm",
    "MoveForm",
    "NoteForm",
    "PairForm",
    "PhotosForm",
    "QuickForm",
    "ReadAgainForm",
    "ReportedForm",
    "SealForm",
    "TableFileForm",
    "TakeOutForm",
    "TogetherForm",
    "WithdrawForm",
]
