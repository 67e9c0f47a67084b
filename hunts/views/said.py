"""What views share: what was sent, what is kept of it, and saying in plain words why an action refused."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.contrib import messages
from django.utils.timezone import now

from hunts.actions.waiting_photos import keep_photos
from hunts.errors import HuntError
from hunts.forms.waiting_photos import WaitingPhotosMixin
from people.http import MemberRequest
from web.states import IllegalMoveError


def sent(request: MemberRequest) -> tuple[Any, Any]:
    """What a form is bound to: the data and files of a POST, empty or not; nothing for a look at the page."""
    return (request.POST, request.FILES) if request.method == "POST" else (None, None)


def keep_for_next_time(request: MemberRequest, form: WaitingPhotosMixin) -> None:
    """A browser forgets chosen files: keep the photographs that came with a form that is shown again."""
    key, photos = form.form_key(), form.new_photos()
    if key is not None and photos:
        keep_photos(key, photos, by=request.user, at=now())
        form.show_waiting(request.user, now())


@contextmanager
def saying_errors(request: MemberRequest) -> Iterator[None]:
    """Turn what a person can mend into a message; the page then shows what is true now."""
    try:
        yield
    except (HuntError, IllegalMoveError) as error:
        messages.error(request, str(error))
