"""Forms of the hunts section."""

from hunts.forms.day import (
    BriefingForm,
    CallOffForm,
    CloseForm,
    LateComerForm,
    OpenForm,
    SignUpPersonForm,
)
from hunts.forms.hole import HoleForm, HolePhotosForm, ReopenForm
from hunts.forms.incident import CloseIncidentForm, FreeForm, IncidentForm, IncidentPhotosForm, LiftForm
from hunts.forms.past import CorrectPastForm, PastOutingForm
from hunts.forms.plan import ChangeHuntForm, PlanForm

__all__ = [
    "BriefingForm",
    "CallOffForm",
    "ChangeHuntForm",
    "CloseForm",
    "CloseIncidentForm",
    "CorrectPastForm",
    "FreeForm",
    "HoleForm",
    "HolePhotosForm",
    "IncidentForm",
    "IncidentPhotosForm",
    "LateComerForm",
    "LiftForm",
    "OpenForm",
    "PastOutingForm",
    "PlanForm",
    "ReopenForm",
    "SignUpPersonForm",
]
