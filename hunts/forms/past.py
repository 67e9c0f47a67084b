"""Enter an outing from older records."""

from datetime import date, datetime
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from hunts.models import Hunt
from hunts.models.hunt import WHOLE_DAY, PastBasis
from hunts.past_ties import Tied
from people.models import User
from permissions.models import Permission, Site
from web.forms import OnceModelForm

FIELDS = ["on", "title", "starts_at", "ends_at", "leader", "past_basis", "permission", "past_why"]


class PastOutingForm(OnceModelForm):
    """Day, field, people, and what is known of the permission."""

    sites: Any = forms.ModelMultipleChoiceField(
        None, label=_lazy("Sites"), widget=forms.CheckboxSelectMultiple
    )
    people: Any = forms.ModelMultipleChoiceField(
        None,
        label=_lazy("Who was there"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_lazy("As far as it is known. Only for these people can finds of this outing be recorded."),
    )
    field_order = [
        "on", "title", "sites", "leader", "people", "starts_at", "ends_at", "past_basis", "permission", "past_why",
    ]  # fmt: skip

    class Meta:
        model = Hunt
        fields = FIELDS
        labels = {"leader": _lazy("Who led it"), "past_why": _lazy("What is known of it, and from where")}
        widgets = {
            "on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "starts_at": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
            "ends_at": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
            "past_why": forms.Textarea(attrs={"rows": 2}),
        }
        help_texts = {
            "title": _lazy("For example: Winter stubble, from the 2014 notebook."),
            "starts_at": _lazy("Leave both times empty if nobody wrote them down."),
            "permission": _lazy("Only where the permission of that day is recorded here."),
            "past_why": _lazy("For example: Mr Warp said yes at the gate; notebook of 2014, page 12."),
        }

    def __init__(self, *args: Any, by: User, at: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = localdate(at)
        fields: dict[str, Any] = self.fields
        people = User.objects.visible_to(by).order_by("name")
        fields["sites"].queryset = Site.objects.visible_to(by).prefetch_related("boundaries")
        fields["people"].queryset = fields["leader"].queryset = people
        fields["leader"].initial = by.pk
        fields["permission"].queryset = Permission.objects.visible_to(by)
        fields["past_basis"].required = True
        for name in ("starts_at", "ends_at"):
            fields[name].required = False

    def clean_on(self) -> date:
        day: date = self.cleaned_data["on"]
        if day >= self.today:
            raise forms.ValidationError(
                _("%(day)s is not past; plan a hunt for it instead.") % {"day": date_format(day, "j M Y")}
            )
        return day

    def clean_sites(self) -> list[Site]:
        sites = list(self.cleaned_data["sites"])
        bare = [str(site) for site in sites if not site.boundaries.all()]
        if bare:
            raise forms.ValidationError(
                _("%(bare)s: no boundary is drawn yet. Draw it first.") % {"bare": ", ".join(bare)}
            )
        return sites

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        self._check_times(values.get("starts_at"), values.get("ends_at"))
        basis, permission = values.get("past_basis"), values.get("permission")
        if basis == PastBasis.RECORDED and permission is None and "permission" not in self.errors:
            self.add_error("permission", _("Choose the permission, or say that it is not recorded here."))
        if basis and basis != PastBasis.RECORDED:
            if permission is not None:
                self.add_error(
                    "permission",
                    _("%(permission)s is recorded here; choose that above, or leave this empty.")
                    % {"permission": permission},
                )
            if not values.get("past_why") and "past_why" not in self.errors:
                self.add_error("past_why", _("Say what is known of the permission, or why nothing is."))
        return values

    def _check_times(self, starts: Any, ends: Any) -> None:
        if bool(starts) != bool(ends) and not {"starts_at", "ends_at"} & self.errors.keys():
            self.add_error("ends_at" if starts else "starts_at", _("Give both times, or leave both empty."))
        if starts and ends and ends <= starts:
            self.add_error(
                "ends_at",
                _("%(ends)s is not after the start at %(starts)s; give a later finish.")
                % {"ends": f"{ends:%H:%M}", "starts": f"{starts:%H:%M}"},
            )

    def _post_clean(self) -> None:
        """The constraints speak of a hunt that is whole; the action makes it so."""


class CorrectPastForm(PastOutingForm):
    """The same with what is on record; what has to stay is shown, cannot be changed, and says why."""

    def __init__(self, *args: Any, instance: Hunt, stays: Tied, **kwargs: Any) -> None:
        rows = instance.hunt_sites.values_list("site_id", flat=True)
        there = instance.sign_ups.standing().values_list("user_id", flat=True)
        initial: dict[str, Any] = {"sites": list(rows), "people": list(there), "leader": instance.leader_id}
        if (instance.starts_at, instance.ends_at) == WHOLE_DAY:
            initial |= {"starts_at": None, "ends_at": None}
        super().__init__(*args, instance=instance, initial=initial, **kwargs)
        fields: dict[str, Any] = self.fields
        fields["leader"].initial = instance.leader_id
        del fields["client_id"]  # nothing is made: the same sent twice changes nothing the second time
        for name, why in stays.fields.items():
            fields[name].disabled = True
            fields[name].help_text = why
