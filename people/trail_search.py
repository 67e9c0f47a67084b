"""Look through the audit trail: by person, kind of record, what was done, words and days, a page at a time by key."""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from django import forms
from django.apps import apps
from django.core.exceptions import FieldDoesNotExist
from django.db.models import Q, QuerySet
from django.http import QueryDict
from django.utils.functional import Promise
from django.utils.timezone import make_aware
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.models import AuditEntry, User
from people.trail_kinds import KINDS, models_of
from people.trail_verbs import VERBS
from people.trail_verbs_of_days import VERBS_OF_DAYS
from people.trail_words import as_kept
from web.forms import BaseForm
from web.paging import A_PAGE

NOBODY = "nobody"
LONGEST_KEY = 18  # digits: all that a 64-bit key can hold
DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class TrailSearchForm(BaseForm):
    """What to look for; empty leaves all in."""

    who = forms.ChoiceField(label=_lazy("Who"), required=False)
    kind = forms.ChoiceField(label=_lazy("Kind"), required=False)
    verb = forms.ChoiceField(label=_lazy("What"), required=False)
    words = forms.CharField(label=_lazy("Words"), required=False, max_length=160)
    since = forms.DateField(label=_lazy("From"), required=False, widget=DAY)
    until = forms.DateField(label=_lazy("To"), required=False, widget=DAY)

    def __init__(self, *args: Any, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        fields: dict[str, Any] = self.fields
        people = User.objects.visible_to(by).order_by("name", "pk").values_list("pk", "name")
        fields["who"].choices = [("", _("Everybody")), (NOBODY, _("Nobody signed in")), *people]
        fields["kind"].choices = [("", _("All")), *KINDS.items()]
        verbs = sorted(
            ((code, _(words)) for code, words in (VERBS | VERBS_OF_DAYS).items()), key=lambda v: v[1]
        )
        fields["verb"].choices = [("", _("All")), *verbs]

    def asked(self) -> bool:
        """Was anything asked, well or badly?"""
        return any(str(self.data.get(name, "")).strip() for name in self.fields)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        since, until = values.get("since"), values.get("until")
        if since and until and until < since:
            self.add_error("until", _("The last day is before the first; give a later one."))
        return values


def found(asked: dict[str, Any]) -> QuerySet[AuditEntry]:
    """The lines that fit all of what was asked. Words are looked for in names and ways in, never in what changed."""
    lines = AuditEntry.objects.select_related("by")
    if who := asked.get("who"):
        lines = lines.filter(by=None) if who == NOBODY else lines.filter(by=who)
    if kind := asked.get("kind"):
        of_kind = Q()
        for label in models_of(kind):
            of_kind |= Q(subject__startswith=f"{label}:")
        lines = lines.filter(of_kind)
    if verb := asked.get("verb"):
        lines = lines.filter(verb=verb)
    if words := asked.get("words"):
        lines = lines.filter(
            Q(label__icontains=as_kept(words)) | Q(label__icontains=words) | Q(via__icontains=words)
        )
    if since := asked.get("since"):
        lines = lines.filter(at__gte=_midnight(since))
    if until := asked.get("until"):
        lines = lines.filter(at__lt=_midnight(until + timedelta(1)))
    return lines


def _midnight(day: date) -> datetime:
    return make_aware(datetime.combine(day, time(0)))


@dataclass(frozen=True)
class TrailPage:
    """Lines with the names of the fields that changed; the queries of the next pages, empty where there is none."""

    rows: list[tuple[AuditEntry, str]] = field(default_factory=list)
    newer: str = ""
    older: str = ""


def page_of(lines: QuerySet[AuditEntry], query: QueryDict) -> TrailPage:
    """The page that begins before or ends after the line with the key in `query`: new lines shift nothing."""
    back = _mark(query.get("after", ""))
    mark = back or _mark(query.get("before", ""))
    if mark is not None:
        at, pk = mark
        older = Q(at__lte=at) & (Q(at__lt=at) | Q(pk__lt=pk))
        lines = lines.filter(Q(at__gte=at) & (Q(at__gt=at) | Q(pk__gt=pk)) if back else older)
    ordered = lines.order_by("at", "pk") if back else lines.order_by("-at", "-pk")
    got = list(ordered[: A_PAGE + 1])
    more, shown = len(got) > A_PAGE, got[:A_PAGE]
    if back:
        shown.reverse()
    if not shown:
        return TrailPage()
    return TrailPage(
        [(line, changed_words(line)) for line in shown],
        newer=_turned(query, after=shown[0].pk) if (more if back else mark) else "",
        older=_turned(query, before=shown[-1].pk) if (back or more) else "",
    )


def _mark(key: str) -> tuple[datetime, int] | None:
    """When the line with this key was written, and its key; None where the address names none."""
    if not key.isdecimal() or len(key) > LONGEST_KEY:
        return None
    return AuditEntry.objects.filter(pk=int(key)).values_list("at", "pk").first()


def _turned(query: QueryDict, **key: int) -> str:
    """The same question with another key."""
    copy = query.copy()
    for name in ("before", "after"):
        copy.pop(name, None)
    copy.update({name: str(value) for name, value in key.items()})
    return copy.urlencode()


PUT_IN = {
    "leader": _lazy("Who led it"),
    "people": _lazy("Who was there"),
    "permission": _lazy("Permission"),
    "site": _lazy("Site"),
    "sites": _lazy("Sites"),
}
"""Fields whose label is given by their forms."""


def changed_words(line: AuditEntry) -> str:
    """The names of the fields that a change touched, as forms have them; never what stood or stands in them."""
    changed = line.changes.get("changed")
    names = (
        [_label(line.subject.partition(":")[0], name) for name in changed]
        if isinstance(changed, list)
        else []
    )
    return ", ".join(str(name) for name in names if name)


def _label(model: str, name: Any) -> Any:
    """The label of a field of `model`; nothing for what has none of its own."""
    if name in PUT_IN:
        return PUT_IN[name]
    try:
        label = getattr(apps.get_model(model)._meta.get_field(name), "verbose_name", "")
    except (LookupError, ValueError, FieldDoesNotExist):
        return ""
    return label if isinstance(label, Promise) else ""
