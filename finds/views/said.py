"""What a find's form says once it is saved."""

from django.contrib import messages
from django.utils.timezone import now

from finds.forms import FindForm
from hunts.actions.waiting_photos import let_photos_go
from people.http import MemberRequest


def say_saved(request: MemberRequest, form: FindForm) -> None:
    """Say what was converted or averaged; photographs that waited are with the find now."""
    for note in (*form.weight_notes(), *form.position_notes):
        messages.info(request, note)
    if form.waiting:
        let_photos_go(form.cleaned_data["client_id"], by=request.user, at=now())
