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
from finds.forms.photos import PhotosForm

__all__ = [
    "CustodyForm",
    "DecideForm",
    "FactsForm",
    "FindFilterForm",
    "FindForm",
    "FrameForm",
    "GroupForm",
    "MoveForm",
    "NoteForm",
    "PhotosForm",
    "ReportedForm",
    "WithdrawForm",
]
