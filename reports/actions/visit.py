"""What a leader adds to a visit report before it is issued, and thanks given for a season."""

from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from hunts.actions import change_hunt
from hunts.errors import HuntError
from hunts.models import Hunt
from hunts.states import HuntState
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.models import Landholder
from reports.models import Thanks, VisitDraft

OF_THE_HUNT = ("leader_report", "noticed", "damage")


@transaction.atomic
def save_visit_draft(hunt_id: int, *, by: User, at: datetime, **fields: Any) -> VisitDraft:
    """Keep the leader's part of the visit report of a closed hunt; sent twice it is the same.

    `leader_report`, `noticed` and `damage` are the hunt's own. Raises HuntError while the hunt is not closed.
    """
    require(by, Right.ISSUE_REPORTS)
    hunt = Hunt.objects.select_for_update(of=("self",)).get(pk=hunt_id)
    if hunt.state != HuntState.CLOSED:
        raise HuntError(
            _("%(hunt_code)s is %(hunt_state)s; its visit report is written when it is closed.")
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state)}
        )
    own = {name: fields.pop(name) for name in OF_THE_HUNT if name in fields}
    if any(getattr(hunt, name) != value for name, value in own.items()):
        change_hunt(hunt.pk, by=by, at=at, **own)
    draft = VisitDraft.objects.filter(hunt=hunt).first() or VisitDraft(hunt=hunt)
    changed = sorted(name for name, value in fields.items() if getattr(draft, name) != value)
    if draft.pk and not changed:
        return draft
    for name in changed:
        setattr(draft, name, fields[name])
    draft.changed_at, draft.changed_by = at, by
    draft.save()
    audit.record("visit_draft.save", draft, by=by, at=at, hunt=hunt.code, changed=changed)
    return draft


@transaction.atomic
def thank_landholder(
    landholder: Landholder, year: int, *, by: User, at: datetime, client_id: UUID, on: date, how: str
) -> Thanks:
    """Keep that a landholder was thanked for a season: once, whoever writes it down and however often."""
    require(by, Right.SEE_LANDHOLDERS)
    said = {"client_id": client_id, "on": on, "how": how, "at": at, "by": by}
    row, made = Thanks.objects.get_or_create(landholder=landholder, year=year, defaults=said)
    if made:
        audit.record("landholder.thanked", row, by=by, at=at, year=year)
    return row
