"""What the views of the phone share: the body, read with care, and refusals in JSON."""

from typing import Any

from django.http import HttpRequest, JsonResponse
from django.utils.translation import gettext as _

from field.account import account_of
from field.read import MOST_BYTES, TooLargeError, UnreadableError, read_json
from people.models import User
from tongue import figure, noop

OTHERS = noop(
    "These records belong to another account. Sign in as the one who made them; they are kept on this phone."
)


class Refused(Exception):  # noqa: N818 (an answer, not an error)
    """An answer in place of the one that was asked for."""

    def __init__(self, status: int, why: str, **more: Any) -> None:
        self.response = JsonResponse({"why": why, **more}, status=status)
        super().__init__(why)


def body_of(request: HttpRequest, *, most: int) -> bytes:
    """The body, never more than `most` bytes of it. Raises Refused with 413."""
    stated = request.META.get("CONTENT_LENGTH") or "0"
    body = request.read(most + 1) if not stated.isdecimal() or int(stated) <= most else b""
    if len(body) > most or (stated.isdecimal() and int(stated) > most):
        raise Refused(
            413,
            _("More than %(most)s bytes are not taken at once; send less at a time.")
            % {"most": figure(f"{most:,}")},
            most=most,
        )
    return body


def sent_object(request: HttpRequest) -> dict[str, Any]:
    """The JSON object that was sent. Raises Refused with 400 or 413."""
    try:
        value = read_json(body_of(request, most=MOST_BYTES))
    except TooLargeError as error:
        raise Refused(413, str(error)) from error
    except UnreadableError as error:
        raise Refused(400, str(error)) from error
    if not isinstance(value, dict):
        raise Refused(400, _("What was sent is no object; send account, now and records in one object."))
    return value


def check_account(sent: dict[str, Any], user: User) -> None:
    """Raises Refused with 409 where the phone holds records of another account than the one signed in."""
    if sent.get("account") != account_of(user):
        raise Refused(409, _(OTHERS))
