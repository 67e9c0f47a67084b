"""The other side's page of a hand-over: no account, one signed address for one side of one hand-over."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from finds import actions
from finds.custody_page import sign_form, text_context
from finds.forms.custody import ReceiveForm, WhyForm
from finds.hand_over_links import open_hand_over
from finds.hand_over_text import items_of, statement_of
from finds.models import HandOverLink
from people.languages import speak_to
from permissions.links import LinkError

VIA = "custody link"


def by_key(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Open the address first; an altered, withdrawn or expired one gets a plain page and 410."""

    @login_not_required
    @wraps(view)
    def opened(request: HttpRequest, code: str, **kwargs: Any) -> HttpResponseBase:
        try:
            link = open_hand_over(code, at=now())
        except LinkError as error:
            return render(request, "reports/link_closed.html", {"why": str(error)}, status=410)
        speak_to(request, "")  # both sides sign one text, so both read it in one language
        return view(request, link, code, **kwargs)

    return opened


def _page(request: HttpRequest, link: HandOverLink, code: str, **forms: Any) -> HttpResponse:
    row, side = link.hand_over, link.side
    context = text_context(row) | {"code": code, "side": side, "statement": statement_of(row, side)}
    context["mine"] = next((each for each in context["signatures"] if each["row"].side == side), None)
    if context["is_open"] and context["mine"] is None:
        context["form"] = sign_form(row, context["items"], side)
        context["refuse_form"] = WhyForm(auto_id="refuse-%s") if side == "receiver" else None
    return render(request, "finds/receive.html", context | forms)


@by_key
@require_GET
def receive(request: HttpRequest, link: HandOverLink, code: str) -> HttpResponse:
    actions.hand_over_opened(link, via=VIA, at=now())
    return _page(request, link, code)


@by_key
@require_POST
def receive_sign(request: HttpRequest, link: HandOverLink, code: str) -> HttpResponse:
    row = link.hand_over
    form = sign_form(row, items_of(row), link.side, request.POST)
    if not form.is_valid():
        return _page(request, link, code, form=form)
    values = {n: form.cleaned_data[n] for n in ("client_id", "name", "read_sha256", "drawn")}
    said = form.received() if isinstance(form, ReceiveForm) else {}
    try:
        actions.sign_hand_over(row.pk, link.side, by=None, via=VIA, at=now(), **values, **said)
    except actions.OutdatedError as error:
        messages.error(request, str(error))
    except actions.CustodyError as error:
        form.add_error(None, str(error))
        return _page(request, link, code, form=form)
    else:
        messages.success(request, _("Thank you. Your signature is kept with the date and the text below."))
    return redirect("finds:receive", code=code)


@by_key
@require_POST
def receive_refuse(request: HttpRequest, link: HandOverLink, code: str) -> HttpResponse:
    """The receiver does not take the objects; they stay where they are and the club reads why."""
    form = WhyForm(request.POST, auto_id="refuse-%s")
    if link.side != "receiver" or not form.is_valid():
        return _page(request, link, code, refuse_form=form)
    try:
        why = form.cleaned_data["why"]
        actions.refuse_hand_over(link.hand_over_id, by=None, via=VIA, at=now(), why=why)
    except actions.CustodyError as error:
        messages.error(request, str(error))
    else:
        messages.success(
            request, _("Thank you. The objects stay where they are, and the club reads your words.")
        )
    return redirect("finds:receive", code=code)
