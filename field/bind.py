"""From what a phone sent to what a page's form takes, so that the form's own checks judge both alike."""

from collections.abc import Mapping
from typing import Any, TypeVar

from django import forms
from django.forms.forms import BaseForm
from django.http import QueryDict
from django.utils.translation import gettext as _

from field.envelope import BadRecordError
from field.errors import NotStoredError
from field.models import Reason
from finds.models.choices import Material

METHODS = ("device", "averaged")
MISSING = forms.Field.default_error_messages["required"]
Form = TypeVar("Form", bound=BaseForm)
TIMES = frozenset({"dug_at", "found_at", "happened_at", "read_at"})


def filled_in(form: Form, said: Mapping[str, Any]) -> Form:
    """`form` as somebody sends it who opened it and filled in `said`; what is not said stays as it was shown.

    It becomes bound instead of being made twice: making it is most of what a record costs. Raises BadRecordError
    for a value that no field takes, NotStoredError with what the form says, field by field.
    """
    form.data, form.is_bound = _bound(form, said), True
    return _checked(form)


def _bound(blank: BaseForm, said: Mapping[str, Any]) -> QueryDict:
    data = QueryDict(mutable=True)
    for name, field in blank.fields.items():
        if not isinstance(field, forms.FileField):
            value = said[name] if name in said else blank[name].value()
            _put(data, name, value, many=isinstance(field, forms.MultipleChoiceField))
    return data


def _put(data: QueryDict, name: str, value: Any, *, many: bool) -> None:
    if (
        isinstance(value, Mapping) and name == "materials"
    ):  # materials of a record that is there: name to share
        _put_shares(data, name, value)
    elif many and isinstance(value, list | tuple):
        data.setlist(name, [_plain(name, each) for each in value])
    elif value is True:
        data[name] = "on"
    elif value is not None and value is not False:
        data[name] = _plain(name, value)


def _plain(name: str, value: Any) -> str:
    if isinstance(value, dict | list | tuple):
        raise BadRecordError(_("%(name)s is a list or an object; give one value.") % {"name": name})
    return str(value)


def _put_shares(data: QueryDict, name: str, shares: Mapping[str, Any]) -> None:
    """The way in which the materials field is sent: a tick and a share of the list, then lines in words."""
    in_words = 0
    for material, share in shares.items():
        percent = "" if share is None else _plain(name, share)
        if material in Material.values:
            data.appendlist(name, material)
            data[f"{material.replace(' ', '_')}_percent"] = percent
        else:
            data[f"other_{in_words}"] = material
            data[f"other_{in_words}_percent"] = percent
            in_words += 1


def place_of(data: Mapping[str, Any]) -> dict[str, Any]:
    """The position fields: what was typed, or the fix (W3C Geolocation: accuracy is the radius of 95 %)."""
    text, fix = data.get("text"), data.get("position")
    said: dict[str, Any] = {"position_text": text or "", "outside_is_right": True}
    if fix is None:
        return said
    if not isinstance(fix, dict) or fix.get("method", "device") not in METHODS:
        raise BadRecordError(_("The position cannot be read; give lat, lon, accuracy_m and method."))
    lat, lon, accuracy_m = fix.get("lat"), fix.get("lon"), fix.get("accuracy_m")
    if not (_is_number(lat) and _is_number(lon) and (accuracy_m is None or _is_number(accuracy_m))):
        raise BadRecordError(_("The position cannot be read; lat, lon and accuracy_m are numbers."))
    return said | {
        "device_lat": lat,
        "device_lon": lon,
        "device_accuracy_m": accuracy_m,
        "position_method": fix.get("method", "device"),
    }


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _checked(form: Form) -> Form:
    if form.is_valid():
        return form
    said = [_said(form, name, error) for name, errors in form.errors.items() for error in errors]
    reason = Reason.TIME if TIMES & set(form.errors) else Reason.VALUE
    raise NotStoredError(reason, " ".join(said))


def _said(form: BaseForm, name: str, error: Any) -> str:
    """One thing that is wrong, with the field it is about."""
    if name == "__all__":
        return str(error)
    label = form[name].label
    return (
        _("%(label)s is missing; give it.") % {"label": label}
        if str(error) == str(MISSING)
        else f"{label}: {error}"
    )


def coin_of(said: Any) -> str:
    """Yes, no or not known, as words or as true, false, null. Raises BadRecordError."""
    if isinstance(said, str):
        return said
    if said is None or isinstance(said, bool):
        return {True: "yes", False: "no", None: "unknown"}[said]
    raise BadRecordError(_("coin cannot be read; give yes, no or unknown."))


def materials_of(said: Any) -> dict[str, None]:
    """Names of materials, none of them weighed. Raises BadRecordError."""
    if said is None:
        return {}
    if not isinstance(said, list) or not all(isinstance(each, str) for each in said):
        raise BadRecordError(_("materials cannot be read; give a list of names."))
    return dict.fromkeys(said)
