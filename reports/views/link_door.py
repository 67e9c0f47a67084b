"""The door of a landholder's page: the signed address, and the one-time code where it is asked for."""

from collections.abc import Callable
from functools import wraps
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from people import limits
from people.languages import speak_to
from people.views.limits import too_many
from permissions.actions import CodeError, send_code, use_code
from permissions.links import LinkError, open_link
from permissions.models import LandholderLink
from reports.forms import CodeForm
from reports.link_codes import is_remembered, remember
from tongue import noop

View = Callable[..., HttpResponseBase]
PAPERS = "papers"
WRONG = noop(
    "This is not the code, or it has run out. A code works once, for ten minutes and five tries, and only the newest "
    "one works. Look at the e-mail again, or have a new one sent."
)


def by_address(view: View) -> View:
    """Open the link in the address; any that opens nothing gets a plain page and 410, whatever was wrong with it.

    Files and closed pages name no referrer. Pages with forms keep the project's `same-origin`, which tells other sites
    nothing either: under `no-referrer` a browser sends `Origin: null` with a form (Fetch standard, 3.2), and the guard
    against forged forms refuses it.
    """

    @login_not_required
    @wraps(view)
    def opened(request: HttpRequest, key: str, **kwargs: Any) -> HttpResponseBase:
        try:
            link = open_link(key, at=now())
        except LinkError as error:
            response: HttpResponseBase = render(
                request, "reports/link_closed.html", {"why": str(error)}, status=410
            )
        else:
            speak_to(request, link.landholder.language)
            response = view(request, link, key, **kwargs)
        if response.status_code == 410 or not response.get("Content-Type", "").startswith("text/html"):
            response["Referrer-Policy"] = "no-referrer"
        return response

    return opened


def by_link(view: View) -> View:
    """By address, and by code where the landholder has asked for that."""

    @by_address
    @wraps(view)
    def opened(request: HttpRequest, link: LandholderLink, key: str, **kwargs: Any) -> HttpResponseBase:
        if link.landholder.asks_code and not is_remembered(request, link):
            return redirect("reports:landholder_code", key=key)
        return view(request, link, key, **kwargs)

    return opened


def by_code(view: View) -> View:
    """By address and always by code: money, and papers to sign."""

    @by_address
    @wraps(view)
    def opened(request: HttpRequest, link: LandholderLink, key: str, **kwargs: Any) -> HttpResponseBase:
        if not is_remembered(request, link):
            return redirect(reverse("reports:landholder_code", args=[key]) + f"?to={PAPERS}")
        return view(request, link, key, **kwargs)

    return opened


def _onward(request: HttpRequest, key: str) -> str:
    """Where the code leads: the page, or the papers. Nothing else that an address may say."""
    name = "landholder_papers" if request.GET.get("to") == PAPERS else "landholder"
    return reverse(f"reports:{name}", args=[key])


@by_address
@require_http_methods(["GET", "POST"])
def landholder_code(request: HttpRequest, link: LandholderLink, key: str) -> HttpResponseBase:
    """Type the code. The page says nothing of whose it is."""
    if is_remembered(request, link):
        return redirect(_onward(request, key))
    form = CodeForm(request.POST or None)
    if request.method == "POST" and (wait := limits.consume(request, "code")):
        return too_many(request, wait)
    if request.method == "POST" and form.is_valid():
        typed, client_id = form.cleaned_data["code"], form.cleaned_data["client_id"]
        if (response := _tried(request, link, key, typed, client_id)) is not None:
            return response
        form.add_error("code", _(WRONG))
    return _code_page(request, link, key, form)


def _tried(
    request: HttpRequest, link: LandholderLink, key: str, typed: str, client_id: UUID
) -> HttpResponseBase | None:
    code = use_code(link, typed, via="link", at=now(), client_id=client_id)
    if code is None:
        return None
    response = redirect(_onward(request, key))
    remember(response, link, code)
    return response


def _code_page(request: HttpRequest, link: LandholderLink, key: str, form: CodeForm) -> HttpResponse:
    query = f"?to={PAPERS}" if request.GET.get("to") == PAPERS else ""
    context = {
        "form": form,
        "query": query,
        "key": key,
        "has_address": bool(link.landholder.email),
        "for_papers": bool(query) and not link.landholder.asks_code,
    }
    return render(request, "reports/landholder_code.html", context)


@by_address
@require_POST
def landholder_code_send(request: HttpRequest, link: LandholderLink, key: str) -> HttpResponse:
    query = f"?to={PAPERS}" if request.GET.get("to") == PAPERS else ""
    try:
        send_code(link, via="link", at=now())
    except CodeError as error:
        messages.error(request, str(error))
    else:
        messages.success(
            request, _("The code is on its way to the e-mail address that the club has of yours.")
        )
    return redirect(reverse("reports:landholder_code", args=[key]) + query)
