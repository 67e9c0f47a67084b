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
from finds.forms.links import LinkForm
from finds.forms.pairs import AnswerForm, GroupAddForm, PairForm, TakeOutForm, TogetherForm
from finds.forms.photos import PhotosForm, PhotoShowsForm
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
    "LinkForm",
    "MoveForm",
    "NoteForm",
    "PairForm",
    "PhotoShowsForm",
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
