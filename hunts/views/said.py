"""What views share: what was sent, and saying in plain words why an action refused."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.contrib import messages

from hunts.errors import HuntError
from people.http import MemberRequest
from web.states import IllegalMoveError


def sent(request: MemberRequest) -> tuple[Any, Any]:
    """What a form is bound to: the data and files of a POST, empty or not; nothing for a look at the page."""
    return (request.POST, request.FILES) if request.method == "POST" else (None, None)


@contextmanager
def saying_errors(request: MemberRequest) -> Iterator[None]:
    """Turn what a person can mend into a message; the page then shows what is true now."""
    try:
        yield
    except (HuntError, IllegalMoveError) as error:
        messages.error(request, str(error))
