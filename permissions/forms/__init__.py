"""Forms about land: they check what was typed, and only actions save it."""

from permissions.forms.consent import ConsentForm, WithdrawForm
from permissions.forms.cut import MergeForm, PartForms, SplitForm, mark_of, merge_names, split_names
from permissions.forms.gate import DayForm, VisitForm, question
from permissions.forms.ground import (
    ClosedPeriodForm,
    FieldStateForm,
    LicenceForm,
    NoGoForm,
    ProtectedCheckForm,
)
from permissions.forms.imports import FileForm, ImportForm, SystemForm
from permissions.forms.landholder import EndForm, LandholderForm, LinkForm, PartyForm
from permissions.forms.permission import MoveForm, PermissionForm
from permissions.forms.protected import LayerForm, NewLayerForm
from permissions.forms.season import SeasonForm, season_initial
from permissions.forms.site import BoundaryForm, BoundaryMixin, NewSiteForm, SiteForm

__all__ = [
    "BoundaryForm",
    "BoundaryMixin",
    "ClosedPeriodForm",
    "ConsentForm",
    "DayForm",
    "EndForm",
    "FieldStateForm",
    "FileForm",
    "ImportForm",
    "LandholderForm",
    "LayerForm",
    "LicenceForm",
    "LinkForm",
    "MergeForm",
    "MoveForm",
    "NewLayerForm",
    "NewSiteForm",
    "NoGoForm",
    "PartForms",
    "PartyForm",
    "PermissionForm",
    "ProtectedCheckForm",
    "SeasonForm",
    "SiteForm",
    "SplitForm",
    "SystemForm",
    "VisitForm",
    "WithdrawForm",
    "mark_of",
    "merge_names",
    "question",
    "season_initial",
    "split_names",
]
