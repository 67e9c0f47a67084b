"""What a landholder says through the page: it came home, a question, a concern, come again, pause."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from permissions.models import LandholderLink
from reports import actions
from reports.actions.returning import goes_back
from reports.forms import ConcernForm, ConfirmForm, InviteForm, QuestionForm
from reports.landholder_page import may_invite, own_permissions, page_context, pause_form, report_context
from reports.models import Kind, LandholderAnswer
from reports.views.landholder import issued_to
from reports.views.link_door import by_link
from tongue import noop
from web.states import IllegalMoveError

What = LandholderAnswer.What
THANKS = noop("Thank you. The club's secretary sees this today and answers you here.")


@by_link
@require_POST
def landholder_confirm(request: HttpRequest, link: LandholderLink, key: str, pk: int) -> HttpResponse:
    row = issued_to(link, pk, kind=Kind.RETURNS)
    form = ConfirmForm(request.POST, objects=goes_back(row))
    if not form.is_valid():
        context = report_context(row, link.landholder, key) | {"confirm_form": form}
        return render(request, "reports/landholder_report.html", context)
    values = form.cleaned_data
    what = What(values.pop("received"))
    actions.landholder_answers(link, what, via="link", at=now(), report=row, **values)
    messages.success(request, _("Thank you. Your answer is kept with the date and the club sees it today."))
    return redirect("reports:landholder", key=key)


def _wrote(
    request: HttpRequest, link: LandholderLink, key: str, what: LandholderAnswer.What, name: str, form: Any
) -> HttpResponse:
    """Keep what was written, or show the page again with the form as it was typed."""
    if not form.is_valid():
        context = page_context(link.landholder, key, at=now(), **{name: form})
        return render(request, "reports/landholder.html", context)
    actions.landholder_writes(link, what, via="link", at=now(), **form.cleaned_data)
    messages.success(request, _(THANKS))
    return redirect("reports:landholder", key=key)


@by_link
@require_POST
def landholder_question(request: HttpRequest, link: LandholderLink, key: str) -> HttpResponse:
    form = QuestionForm(request.POST, auto_id="question-%s")
    return _wrote(request, link, key, What.QUESTION, "question_form", form)


@by_link
@require_POST
def landholder_concern(request: HttpRequest, link: LandholderLink, key: str) -> HttpResponse:
    return _wrote(request, link, key, What.CONCERN, "concern_form", ConcernForm(request.POST))


@by_link
@require_POST
def landholder_invite(request: HttpRequest, link: LandholderLink, key: str) -> HttpResponse:
    if not may_invite(link.landholder, localdate()):
        raise PermissionDenied(
            _("Only who owns or farms the land, or their agent, can ask the club to come.")
        )
    form = InviteForm(request.POST, auto_id="invite-%s")
    return _wrote(request, link, key, What.INVITED, "invite_form", form)


@by_link
@require_POST
def landholder_pause(request: HttpRequest, link: LandholderLink, key: str, pk: int) -> HttpResponse:
    permission = get_object_or_404(own_permissions(link.landholder, localdate()), pk=pk)
    form = pause_form(pk, request.POST)
    if not form.is_valid():
        context = page_context(link.landholder, key, at=now(), tried={pk: form})
        return render(request, "reports/landholder.html", context)
    try:
        actions.landholder_pauses(link, permission, via="link", at=now(), **form.cleaned_data)
    except IllegalMoveError:
        messages.error(
            request,
            _("%(permission_title)s is not in force, so there is nothing to pause.")
            % {"permission_title": permission.title},
        )
    else:
        messages.success(
            request,
            _("The permission is paused from now. Nobody will come until you and the club agree again."),
        )
    return redirect("reports:landholder", key=key)
