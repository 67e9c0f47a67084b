"""Plan a hunt on sites and a date, and change it afterwards."""

from datetime import date, datetime
from typing import Any

from django import forms
from django.db.models import Q
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from hunts.actions.plan import CHANGEABLE
from hunts.models import Hunt
from hunts.states import HuntState
from people.models import User
from permissions.models import Permission, Site
from web.forms import BaseModelForm, OnceModelForm

LEADING = ("leader", "secretary")
FIELDS = ["title", "on", "starts_at", "ends_at", "leader", "capacity", "meeting_point", "briefing", "told_at"]
WIDGETS: dict[str, Any] = {
    "on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    "starts_at": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    "ends_at": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    "told_at": forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
    "briefing": forms.Textarea(attrs={"rows": 4}),
    "leader_report": forms.Textarea(attrs={"rows": 5}),
    "noticed": forms.Textarea(attrs={"rows": 2}),
    "damage": forms.Textarea(attrs={"rows": 2}),
}
HELP = {
    "capacity": _lazy("The leader takes one of them."),
    "meeting_point": _lazy(
        "Shown to everybody who may see the hunt; give a gate or a car park, never a findspot."
    ),
    "briefing": _lazy("What is special on this ground; the usual cautions are added by themselves."),
    "told_at": _lazy("Leave empty until the landholder was told of this visit."),
    "leader_report": _lazy("Read by the landholder in the visit report."),
    "noticed": _lazy("Read by the landholder in the visit report."),
    "damage": _lazy("Read by the landholder in the visit report: what, where, and whether they were told."),
}


class _HuntForm(BaseModelForm):
    """What planning and changing check alike: leader, times, day and notice."""

    class Meta:
        model = Hunt
        fields = FIELDS
        widgets = WIDGETS
        help_texts = HELP

    def __init__(self, *args: Any, by: User, at: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.by, self.at, self.today = by, at, localtime(at).date()
        if "leader" in self.fields:
            self.fields["leader"].queryset = self._leaders()  # type: ignore[attr-defined]

    def _leaders(self) -> Any:
        """People who hold a role that runs hunts, and whoever leads this one already."""
        held = Q(roles_held__ends__isnull=True) | Q(roles_held__ends__gt=self.today)
        runs = Q(roles_held__role__in=LEADING, roles_held__starts__lte=self.today) & held
        already = Q(pk=self.instance.leader_id) if self.instance.pk else Q(pk__in=[])
        return User.objects.visible_to(self.by).filter(runs | already).distinct()

    def clean_on(self) -> date:
        day: date = self.cleaned_data["on"]
        if day < self.today:
            raise forms.ValidationError(
                _("%(day)s has gone by; give today or a later day.") % {"day": date_format(day, "j M Y")}
            )
        return day

    def clean_told_at(self) -> datetime | None:
        told: datetime | None = self.cleaned_data["told_at"]
        if told is not None and told > self.at:
            raise forms.ValidationError(
                _("%(told)s has not come yet; fill this in once the landholder was told.")
                % {"told": date_format(localtime(told), "j M Y, H:i")}
            )
        return told

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        starts = values.get("starts_at") or self.instance.starts_at
        ends = values.get("ends_at") or self.instance.ends_at
        if starts and ends and ends <= starts and "ends_at" in self.fields:
            self.add_error(
                "ends_at",
                _("%(ends)s is not after the start at %(starts)s; give a later finish.")
                % {"ends": f"{ends:%H:%M}", "starts": f"{starts:%H:%M}"},
            )
        return values


class PlanForm(_HuntForm, OnceModelForm):
    """Plan under one permission; `seen` names the gate's answer that the planner has read."""

    sites: Any = forms.ModelMultipleChoiceField(
        None,
        label=_lazy("Sites"),
        widget=forms.CheckboxSelectMultiple,
        help_text=_lazy("Open few at a time."),
    )
    seen = forms.CharField(required=False, widget=forms.HiddenInput)
    field_order = ["sites", *FIELDS]

    def __init__(self, *args: Any, permission: Permission, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.permission = permission
        sites = Site.objects.visible_to(self.by).current().filter(permissions=permission)
        self.fields["sites"].queryset = sites  # type: ignore[attr-defined]
        self.fields["leader"].initial = self.by.pk
        if permission.max_heads:
            self.fields["capacity"].initial = permission.max_heads

    def clean_sites(self) -> list[Site]:
        sites = list(self.cleaned_data["sites"].prefetch_related("boundaries"))
        bare = [str(site) for site in sites if not site.boundaries.all()]
        if bare:
            raise forms.ValidationError(
                _("%(bare)s: no boundary is drawn yet. Draw it first, so that holes can be placed.")
                % {"bare": ", ".join(bare)}
            )
        return sites

    def draft(self) -> Hunt:
        """The hunt as filled in, not saved: what the gate is asked about."""
        return Hunt(**{name: self.cleaned_data[name] for name in FIELDS})


class ChangeHuntForm(_HuntForm):
    """Change what the state of the hunt still allows."""

    class Meta(_HuntForm.Meta):
        fields = [*FIELDS, "leader_report", "noticed", "damage"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        may = CHANGEABLE[HuntState(self.instance.state)]
        for name in [name for name in self.fields if name not in may]:
            del self.fields[name]
