"""The signer's page: no account, one signed address for one signer and one text."""

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

from people.languages import speak_to
from permissions.actions import NotOpenError
from permissions.links import LinkError
from reports import actions
from reports.actions import AgreementError, OutdatedError
from reports.agreement_page import sign_context
from reports.agreements import statement_of
from reports.models import SignatureRequest
from reports.sign_forms import DeclineForm, SignForm
from reports.sign_links import open_request
from web.files import private_file


def by_sign_key(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Open the request in the address first; an altered, withdrawn or expired one gets a plain page and 410."""

    @login_not_required
    @wraps(view)
    def opened(request: HttpRequest, key: str, **kwargs: Any) -> HttpResponseBase:
        try:
            row = open_request(key, at=now())
        except LinkError as error:
            return render(request, "reports/link_closed.html", {"why": str(error)}, status=410)
        speak_to(request, row.language)
        return view(request, row, key, **kwargs)

    return opened


def _page(request: HttpRequest, row: SignatureRequest, key: str, **forms: Any) -> HttpResponse:
    context = sign_context(row, key, at=now(), absolute=request.build_absolute_uri, **forms)
    return render(request, "reports/sign.html", context)


@by_sign_key
@require_GET
def sign(request: HttpRequest, row: SignatureRequest, key: str) -> HttpResponse:
    actions.request_opened(row, via="signing link", at=now())
    return _page(request, row, key)


@by_sign_key
@require_GET
def sign_pdf(request: HttpRequest, row: SignatureRequest, key: str) -> HttpResponseBase:
    return private_file(row.issue.pdf, content_type="application/pdf", filename=f"{row.issue.number}.pdf")


@by_sign_key
@require_POST
def sign_agree(request: HttpRequest, row: SignatureRequest, key: str) -> HttpResponse:
    form = SignForm(request.POST, statement=statement_of(row))
    if not form.is_valid():
        return _page(request, row, key, form=form)
    values = {name: form.cleaned_data[name] for name in ("client_id", "name", "read_sha256", "drawn")}
    try:
        actions.sign_agreement(row.pk, via="signing link", at=now(), **values)
    except OutdatedError as error:
        messages.error(request, str(error))
    except (AgreementError, NotOpenError) as error:
        form.add_error(None, str(error))
        return _page(request, row, key, form=form)
    else:
        messages.success(request, _("Thank you. Your signature is kept with the date and the text below."))
    return redirect("reports:sign", key=key)


@by_sign_key
@require_POST
def sign_decline(request: HttpRequest, row: SignatureRequest, key: str) -> HttpResponse:
    form = DeclineForm(request.POST, auto_id="decline-%s")
    if not form.is_valid():
        return _page(request, row, key, decline_form=form)
    try:
        actions.decline_agreement(row.pk, via="signing link", at=now(), why=form.cleaned_data["why"])
    except AgreementError as error:
        messages.error(request, str(error))
    else:
        messages.success(
            request, _("Thank you. The club sees today that you did not agree, with your words.")
        )
    return redirect("reports:sign", key=key)
