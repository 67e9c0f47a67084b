"""Today's hunts, and the pack of one."""

from django.http import JsonResponse
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from field.account import account_of
from field.day import hunts_for, line_of
from field.door import for_phones
from field.pack import pack_of
from people.http import MemberRequest
from tongue import noop

NONE = noop("You hold no place on this hunt today, or it is over. Look at the hunt’s page.")


@require_GET
@for_phones
def hunts(request: MemberRequest) -> JsonResponse:
    at = now()
    rows = hunts_for(request.user, at=at).prefetch_related("sites")
    said = {"account": account_of(request.user), "at": at.isoformat()}
    return JsonResponse(said | {"hunts": [line_of(hunt) for hunt in rows]})


@require_GET
@for_phones
def pack(request: MemberRequest, pk: int) -> JsonResponse:
    at = now()
    rows = hunts_for(request.user, at=at).select_related("leader", "permission").prefetch_related("sites")
    hunt = rows.filter(pk=pk).first()
    if hunt is None:
        return JsonResponse({"why": _(NONE)}, status=404)
    return JsonResponse(pack_of(hunt, request.user, at=at))
