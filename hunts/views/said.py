"""Say in plain words why an action refused, and go on."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.contrib import messages

from hunts.errors import HuntError
from people.http import MemberRequest
from web.states import IllegalMoveError


@contextmanager
def saying_errors(request: MemberRequest) -> Iterator[None]:
    """Turn what a person can mend into a message; the page then shows what is true now."""
    try:
        yield
    except (HuntError, IllegalMoveError) as error:
        messages.error(request, str(error))
