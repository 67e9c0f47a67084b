"""The record that another one belongs to: there, parked, left out, or not come yet."""

from uuid import UUID

from django.utils.translation import gettext as _

from field.envelope import Envelope
from field.errors import NotStoredError, NotYetError
from field.models import PhoneRecord, Reason
from field.models.record import State
from finds.models import Find
from hunts.models import Hole, Hunt
from people.models import User
from tongue import noop

WAITS = noop("It belongs to a record that needs you first; once that is stored, this one follows by itself.")


def hole_of(sent: Envelope, by: User, hunt: Hunt) -> Hole | None:
    """The hole that a record names, None where it names none or that hole was left out.

    Raises NotYetError while the hole has not come, NotStoredError while it is parked.
    """
    key = sent.belongs_to
    if key is None:
        return None
    holes = Hole.objects.visible_to(by).filter(hunt=hunt).select_related("site")
    hole = holes.filter(client_id=key).first()
    if hole is None:
        _check_left_out(key, by)
    return hole


def changed_of(sent: Envelope, by: User) -> Hole | Find | PhoneRecord | None:
    """What a change is about: a hole, a find, the row of another kind of record, or None where it was left out."""
    key = sent.belongs_to
    if key is None:
        return None
    hole = Hole.objects.visible_to(by).filter(client_id=key).select_related("hunt", "site").first()
    find = hole or Find.objects.visible_to(by).filter(client_id=key).select_related("hunt", "site").first()
    other = PhoneRecord.objects.own_of(by).filter(client_id=key, state=State.STORED).first()
    if find is None and other is None:
        _check_left_out(key, by)
    return find or other


def _check_left_out(key: UUID, by: User) -> None:
    row = PhoneRecord.objects.own_of(by).filter(client_id=key).first()
    if row is None:
        raise NotYetError
    if row.state != State.LEFT_OUT:
        raise NotStoredError(Reason.BELONGS, _(WAITS))
