"""Which finds may stand on one settlement sheet: one permission, one set of terms, on no other sheet."""

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.models import Find, SheetRow
from finds.settlement import SettlementError
from permissions.models import Permission
from permissions.terms import Sharing
from permissions.terms_then import sharing_on


def one_permission(finds: list[Find]) -> Permission:
    """The permission all of `finds` came under. Raises SettlementError where there is none, or several."""
    if not finds:
        raise SettlementError(
            _("There is no find to settle here; choose a hunt or finds that are still on record.")
        )
    bare = next((f for f in finds if f.hunt.permission is None), None)
    if bare is not None:
        raise SettlementError(
            _(
                "%(bare_number)s is of %(hunt_code)s, a past outing without a permission on record, so "
                "there are no terms to settle it by. Record the permission and enter the outing under "
                "it, or leave this find out."
            )
            % {"bare_number": bare.number, "hunt_code": bare.hunt.code}
        )
    permissions = {f.hunt.permission_id: f.hunt.permission for f in finds if f.hunt.permission is not None}
    first = permissions[finds[0].hunt.permission_id]
    other = next((f for f in finds if f.hunt.permission_id != first.pk), None)
    if other is not None:
        raise SettlementError(
            _(
                "%(number)s was found under %(first_reference)s and %(other_number)s under "
                "%(reference)s; their terms differ, so make one sheet for each."
            )
            % {
                "number": finds[0].number,
                "first_reference": first.reference,
                "other_number": other.number,
                "reference": permissions[other.hunt.permission_id].reference,
            }
        )
    return first


def refuse_elsewhere(finds: list[Find]) -> None:
    """Raise SettlementError where one of `finds` stands on a live sheet already."""
    rows = SheetRow.objects.filter(find__in=finds, live=True).select_related("find", "sheet")
    words = [
        _("%(find_number)s (sheet %(sheet_number)s)")
        % {"find_number": row.find.number, "sheet_number": row.sheet.number}
        for row in rows
    ]
    if words:
        raise SettlementError(
            _("On another sheet already: %(words)s. Take it off there, or replace that sheet.")
            % {"words": ", ".join(words)}
        )


def terms_then(permission: Permission, finds: list[Find]) -> tuple[Sharing, bool]:
    """The terms of the day of the hunts, and whether they changed since. Raises SettlementError where they differ."""
    days = sorted({find.hunt.on for find in finds})
    then = {day: sharing_on(permission, day) for day in days}
    other = next((day for day in days if then[day][0] != then[days[0]][0]), None)
    if other is not None:
        raise SettlementError(
            _(
                "The terms of %(permission_reference)s on %(days)s and on %(other)s differ; make one "
                "sheet for each time."
            )
            % {
                "permission_reference": permission.reference,
                "days": date_format(days[0], "j F Y"),
                "other": date_format(other, "j F Y"),
            }
        )
    return then[days[0]]
