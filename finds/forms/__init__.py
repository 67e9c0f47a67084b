"""Forms about finds, cases and custody."""

from finds.forms.case import (
    GroupForm,
    MoveForm,
    NoteForm,
    WithdrawForm,
)
from finds.forms.case_moves import (
    AcknowledgedForm,
    BoardForm,
    DecisionForm,
    MessageForm,
    ProposeForm,
    ReportForm,
    SecondForm,
    StageForm,
    TakeBackForm,
    TaskDoneForm,
    TaskForm,
)
from finds.forms.custody import CustodyForm
from finds.forms.facts import FactsForm
from finds.forms.filters import FindFilterForm, FrameForm
from finds.forms.find import FindForm
from finds.forms.imports import ReadAgainForm, SealForm, TableFileForm
from finds.forms.links import LinkForm
from finds.forms.pairs import AnswerForm, GroupAddForm, PairForm, TakeOutForm, TogetherForm
from finds.forms.photos import PhotosForm, PhotoShowsForm
from finds.forms.quick import QuickForm

__all__ = [
    "AcknowledgedForm",
    "AnswerForm",
    "BoardForm",
    "CustodyForm",
    "DecisionForm",
    "FactsForm",
    "FindFilterForm",
    "FindForm",
    "FrameForm",
    "GroupAddForm",
    "GroupForm",
    "LinkForm",
    "MessageForm",
    "MoveForm",
    "NoteForm",
    "PairForm",
    "PhotoShowsForm",
    "PhotosForm",
    "ProposeForm",
    "QuickForm",
    "ReadAgainForm",
    "ReportForm",
    "SealForm",
    "SecondForm",
    "StageForm",
    "TableFileForm",
    "TakeBackForm",
    "TakeOutForm",
    "TaskDoneForm",
    "TaskForm",
    "TogetherForm",
    "WithdrawForm",
]
