"""What a find's form says once it is saved, and what is kept of it when it has to be shown again."""

from django.contrib import messages
from django.utils.timezone import now

from finds.actions.waiting_photos import keep_photos, let_photos_go
from finds.forms import FindForm
from finds.forms.waiting_photos import WaitingPhotosMixin
from people.http import MemberRequest


def say_saved(request: MemberRequest, form: FindForm) -> None:
    """Say what was converted or averaged; photographs that waited are with the find now."""
    for note in (*form.weight_notes(), *form.position_notes):
        messages.info(request, note)
    if form.waiting:
        let_photos_go(form.cleaned_data["client_id"], by=request.user, at=now())


def keep_for_next_time(request: MemberRequest, form: WaitingPhotosMixin) -> None:
    """A browser forgets chosen files: keep the photographs that came with a form that is shown again."""
    key, photos = form.form_key(), form.new_photos()
    if key is not None and photos:
        keep_photos(key, photos, by=request.user, at=now())
        form.show_waiting(request.user, now())
