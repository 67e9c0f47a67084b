"""Photographs in parts, which go on where they were broken off."""

import re
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.http import JsonResponse
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from field import actions
from field.actions.photos import MOST_PART, PhotoSentError
from field.door import for_phones
from field.models import PhotoUpload
from field.photos import SHOWS, try_photo
from field.views.answers import Refused, body_of, check_account, sent_object
from people.http import MemberRequest
from web.photos import shown_name

SHA256 = re.compile(r"[0-9a-f]{64}")


@require_POST
@for_phones
def begin(request: MemberRequest) -> JsonResponse:
    """Begin a photograph, or say how much of it is there; a whole one that waited is tried again."""
    try:
        sent = sent_object(request)
        check_account(sent, request.user)
        row = actions.begin_photo(by=request.user, at=now(), **_asked(sent))
    except Refused as refused:
        return refused.response
    except (PhotoSentError, PermissionDenied) as error:
        return JsonResponse({"why": str(error)}, status=400)
    return _state(try_photo(row, by=request.user, at=now()))


def _asked(sent: dict[str, Any]) -> dict[str, Any]:
    """The fields of a photograph. Raises Refused with 400, naming value and remedy."""
    of, shows, size, sha = sent.get("of"), sent.get("shows"), sent.get("size"), sent.get("sha256")
    if not isinstance(of, str) or of not in SHOWS:
        raise Refused(
            400,
            _("%(of)s has no photographs; give of as one of %(shows)s.")
            % {"of": f"{of!r:.40}", "shows": ", ".join(SHOWS)},
        )
    shows = shows or SHOWS[of][0]
    if shows not in SHOWS[of]:
        raise Refused(
            400,
            _("%(shows)s is nothing that it can show; give one of %(value)s.")
            % {"shows": f"{shows!r:.40}", "value": ", ".join(SHOWS[of])},
        )
    if not isinstance(size, int) or isinstance(size, bool) or size < 1:
        raise Refused(400, _("%(size)s is no size; give the number of bytes.") % {"size": f"{size!r:.40}"})
    if not isinstance(sha, str) or not SHA256.fullmatch(sha):
        raise Refused(400, _("sha256 cannot be read; give 64 hexadecimal digits in small letters."))
    keys = {name: _key(sent.get(key), key) for name, key in (("client_id", "client_id"), ("record", "owner"))}
    return keys | {"of": of, "shows": shows, "size": size, "sha256": sha, "name": _name(sent.get("name"))}


def _key(given: Any, name: str) -> UUID:
    try:
        return UUID(given) if isinstance(given, str) else UUID("")
    except ValueError as error:
        raise Refused(
            400,
            _("%(given)s is no UUID; give %(name)s as one.") % {"given": f"{given!r:.60}", "name": name},
        ) from error


def _name(given: Any) -> str:
    return shown_name(given) if isinstance(given, str) and given else ""


@require_http_methods(["GET", "PATCH"])
@for_phones
def photo(request: MemberRequest, client_id: UUID) -> JsonResponse:
    """How much of it is there; a PATCH brings the next part."""
    row = PhotoUpload.objects.visible_to(request.user).filter(client_id=client_id).first()
    if row is None:
        return JsonResponse({"why": "This photograph was not begun; begin it first."}, status=404)
    if request.method == "GET":
        return _state(try_photo(row, by=request.user, at=now()))  # its record may have come meanwhile
    try:
        starts, data = _offset(request), body_of(request, most=MOST_PART)
    except Refused as refused:
        return refused.response
    turn = actions.add_part(row.pk, data, starts=starts, by=request.user, at=now())
    if not turn.fits:
        return _state(turn.upload, status=409)
    after = try_photo(turn.upload, by=request.user, at=now())
    return _state(after, status=200 if after.received or not turn.upload.received else 409)


def _offset(request: MemberRequest) -> int:
    given = request.headers.get("Upload-Offset", "")
    if not re.fullmatch(r"[0-9]{1,10}", given):
        raise Refused(
            400,
            _("%(given)s is no offset; say in Upload-Offset how many bytes are there already.")
            % {"given": f"{given!r:.40}"},
        )
    return int(given)


def _state(row: PhotoUpload, *, status: int = 200) -> JsonResponse:
    """What is left out or parked needs nothing more of the phone."""
    state = "stored" if row.state == PhotoUpload.State.LEFT_OUT else row.state
    said = {"received": row.received, "size": row.size, "state": state}
    return JsonResponse(said | ({"why": row.why} if row.why else {}), status=status)
