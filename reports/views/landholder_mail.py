"""What a landholder is sent by e-mail, chosen through their own address without an account."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from people.actions import choose_mail_by_link
from people.letter_kinds import FOR_LANDHOLDERS
from people.mail_choices import wanted_by
from people.mail_form import MailForm, posted
from permissions.models import LandholderLink
from reports.views.link_door import by_link


@by_link
@require_http_methods(["GET", "POST"])
def landholder_mail(request: HttpRequest, link: LandholderLink, key: str) -> HttpResponse:
    """The optional kinds, ticked as they are now. Without an address on file nothing is sent and the page says so."""
    email = link.landholder.email
    form = MailForm(FOR_LANDHOLDERS, wanted_by(email), posted(request)) if email else None
    if form is not None and request.method == "POST" and form.is_valid():
        choose_mail_by_link(email, form.chosen(), via="link", at=now(), among=FOR_LANDHOLDERS)
        messages.success(request, _("Your choice is kept."))
        return redirect("reports:landholder_mail", key=key)
    return render(request, "reports/landholder_mail.html", {"form": form, "key": key, "email": email})
