"""Records in: stored once each, or parked with the reason."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import JsonResponse
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from field.door import for_phones
from field.envelope import BadRecordError, read_time
from field.intake import MOST_AT_ONCE, take, try_not_started
from field.photos import try_waiting
from field.views.answers import Refused, check_account, sent_object
from people.http import MemberRequest


@require_POST
@for_phones
def records(request: MemberRequest) -> JsonResponse:
    try:
        sent = sent_object(request)
        check_account(sent, request.user)
        raws = list_of(sent)
        device_now = _device_now(sent)
    except Refused as refused:
        return refused.response
    at = now()
    try_not_started(by=request.user, at=at)
    results = take(raws, by=request.user, at=at, device_now=device_now)
    stored = [UUID(row.client_id) for row in results if row.client_id and row.state in {"stored", "again"}]
    try_waiting(stored, by=request.user, at=at)
    return JsonResponse({"at": now().isoformat(), "results": [row.as_json() for row in results]})


def list_of(sent: dict[str, Any], most: int = MOST_AT_ONCE) -> list[Any]:
    """The records of a sending or a file. Raises Refused with 400."""
    if sent.get("v") != 1:
        raise Refused(
            400,
            _("Version %(get)s is not known here; reload the field page while there is signal.")
            % {"get": repr(sent.get("v"))},
        )
    raws = sent.get("records")
    if not isinstance(raws, list) or len(raws) > most:
        count = len(raws) if isinstance(raws, list) else _("no list of")
        raise Refused(
            400,
            _("%(count)s records cannot be taken; send a list of at most %(most)s at a time.")
            % {"count": count, "most": most},
        )
    return raws


def _device_now(sent: dict[str, Any]) -> datetime | None:
    """What the phone's own clock says now. Raises Refused with 400."""
    if sent.get("now") is None:
        return None
    try:
        return read_time(sent["now"], "now")
    except BadRecordError as error:
        raise Refused(400, str(error)) from error
