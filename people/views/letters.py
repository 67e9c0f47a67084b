"""The outbox for the secretary, what members are sent, and the address that stops one kind of letter."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people import actions
from people.http import MemberRequest
from people.letter_kinds import FOR_MEMBERS
from people.letters_page import outbox_context
from people.mail_choices import StopKeyError, open_stop_key, wanted_by
from people.mail_form import MailForm, posted
from people.models import Letter
from people.rights import Right, require
from web.paging import A_PAGE


@require_GET
def outbox(request: MemberRequest) -> HttpResponse:
    """How letters fare. Never their words: they are other people's."""
    require(request.user, Right.MANAGE_CLUB)
    at = now()
    context = outbox_context(at)
    page = Paginator(context.pop("rows"), A_PAGE).get_page(request.GET.get("page"))
    return render(request, "people/outbox.html", {**context, "page": page})


@require_POST
def letter_again(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_CLUB)
    letter = get_object_or_404(Letter, pk=pk)
    try:
        actions.send_letter_again(pk, by=request.user, at=now())
    except actions.LetterError as error:
        messages.error(request, str(error))
    else:
        messages.success(
            request, _("“%(letter_subject)s” is in the queue again.") % {"letter_subject": letter.subject}
        )
    return redirect("people:outbox")


@require_POST
def letter_close(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_CLUB)
    letter = get_object_or_404(Letter, pk=pk)
    actions.close_letter(pk, by=request.user, at=now())
    messages.success(
        request,
        _("“%(letter_subject)s” is put aside and will not be sent.") % {"letter_subject": letter.subject},
    )
    return redirect("people:outbox")


@require_http_methods(["GET", "POST"])
def mail_choices(request: MemberRequest) -> HttpResponse:
    """What this account is sent: the kinds that may be turned off, and why the others may not."""
    form = MailForm(FOR_MEMBERS, wanted_by(request.user.email), posted(request))
    if request.method == "POST" and form.is_valid():
        actions.choose_mail(form.chosen(), by=request.user, at=now(), among=FOR_MEMBERS)
        messages.success(request, _("Your choice is kept."))
        return redirect("people:mail_choices")
    return render(request, "people/mail_choices.html", {"form": form, "address": request.user.email})


@csrf_exempt  # the reader's mail program posts here without having opened a page (RFC 8058, section 3.2)
@login_not_required
@require_http_methods(["GET", "POST"])
def mail_stop(request: HttpRequest, code: str) -> HttpResponse:
    """Ask on GET, because programs open links to look at them; stop on POST, or start again with `again`."""
    try:
        hashed, kind = open_stop_key(code)
    except StopKeyError as error:
        return render(request, "people/mail_stop.html", {"why": str(error)}, status=410)
    done = ""
    if request.method == "POST":
        done = "on" if "again" in request.POST else "off"
        actions.set_mail(hashed, kind, done == "on", via="link", at=now())
    return render(request, "people/mail_stop.html", {"kind": kind.label, "done": done})
