"""Papers about finds: read, signed or disputed by those asked, by account or by address; and titles of one find."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from people.http import MemberRequest
from people.languages import speak_to
from people.models import User
from permissions.links import LinkError
from reports import actions
from reports.actions import AgreementError
from reports.blocks import photo_keys
from reports.content import from_data
from reports.drafts import photo_in
from reports.models import Paper, PaperSigner
from reports.paper_links import open_signer
from reports.paper_page import sign_context
from reports.papers import statement_of
from reports.photos import club_photo_urls
from reports.sign_forms import DeclineForm, SignForm
from web.files import private_file


def by_paper_key(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Open the signer in the address first; an altered, withdrawn or expired one gets a plain page and 410."""

    @login_not_required
    @wraps(view)
    def opened(request: HttpRequest, code: str, **kwargs: Any) -> HttpResponseBase:
        try:
            row = open_signer(code, at=now())
        except LinkError as error:
            return render(request, "reports/link_closed.html", {"why": str(error)}, status=410)
        speak_to(request, row.language)
        return view(request, row, code, **kwargs)

    return opened


def _by_key(request: HttpRequest, row: PaperSigner, code: str, **forms: Any) -> HttpResponse:
    names = {"pdf": "by_paper_pdf", "sign": "by_paper_sign", "dispute": "by_paper_dispute"}
    urls = {name: reverse(f"reports:{view}", args=[code]) for name, view in names.items()}
    keys = photo_keys(from_data(row.paper.content))
    photos = {photo: reverse("reports:by_paper_photo", args=[code, photo]) for photo in keys}
    return render(request, "reports/paper_by_key.html", sign_context(row, urls, photos, **forms))


@by_paper_key
@require_GET
def by_paper(request: HttpRequest, row: PaperSigner, code: str) -> HttpResponse:
    actions.paper_opened(row, via="paper link", at=now())
    return _by_key(request, row, code)


@by_paper_key
@require_GET
def by_paper_pdf(request: HttpRequest, row: PaperSigner, code: str) -> HttpResponseBase:
    return _pdf(row.paper)


@by_paper_key
@require_GET
def by_paper_photo(request: HttpRequest, row: PaperSigner, code: str, photo: str) -> HttpResponseBase:
    file = photo_in(from_data(row.paper.content), photo)
    if file is None:
        raise Http404
    return private_file(file, content_type="image/jpeg", filename=f"{photo}.jpg")


@by_paper_key
@require_POST
def by_paper_sign(request: HttpRequest, row: PaperSigner, code: str) -> HttpResponse:
    form = SignForm(request.POST, statement=statement_of(row))
    if not _signed(request, row, form, by=None, via="paper link"):
        return _by_key(request, row, code, form=form)
    return redirect("reports:by_paper", code=code)


@by_paper_key
@require_POST
def by_paper_dispute(request: HttpRequest, row: PaperSigner, code: str) -> HttpResponse:
    form = DeclineForm(request.POST, auto_id="dispute-%s")
    if not _disputed(request, row, form, by=None, via="paper link"):
        return _by_key(request, row, code, dispute_form=form)
    return redirect("reports:by_paper", code=code)


def _signed(request: HttpRequest, row: PaperSigner, form: SignForm, *, by: User | None, via: str) -> bool:
    """Sign; False with the form's errors where it could not be. An outdated text is said on the page itself."""
    if not form.is_valid():
        return False
    values = {name: form.cleaned_data[name] for name in ("client_id", "name", "read_sha256", "drawn")}
    try:
        actions.sign_paper(row.pk, by=by, via=via, at=now(), **values)
    except AgreementError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("Thank you. Your signature is kept with the date and the text below."))
    return True


def _disputed(
    request: HttpRequest, row: PaperSigner, form: DeclineForm, *, by: User | None, via: str
) -> bool:
    if not form.is_valid():
        return False
    try:
        actions.dispute_paper(row.pk, by=by, via=via, at=now(), why=form.cleaned_data["why"])
    except AgreementError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("Thank you. The club sees today that you do not agree, with your words."))
    return True


def _pdf(paper: Paper) -> HttpResponseBase:
    return private_file(paper.pdf, content_type="application/pdf", filename=f"{paper.number}.pdf")


def _own(request: MemberRequest, pk: int) -> PaperSigner:
    """The signature asked of this person on this paper; 404 for everybody else."""
    rows = PaperSigner.objects.visible_to(request.user).filter(user=request.user)
    found = rows.select_related("paper__sheet", "paper__find", "signature").filter(paper=pk).first()
    if found is None:
        raise Http404("Nobody asked this person to sign that paper.")
    return found


def _by_account(request: MemberRequest, row: PaperSigner, **forms: Any) -> HttpResponse:
    names = {"pdf": "paper_pdf", "sign": "paper_sign", "dispute": "paper_dispute"}
    urls = {name: reverse(f"reports:{view}", args=[row.paper_id]) for name, view in names.items()}
    photos = club_photo_urls(from_data(row.paper.content))
    return render(request, "reports/paper_sign.html", sign_context(row, urls, photos, **forms))


@require_GET
def paper(request: MemberRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(Paper.objects.visible_to(request.user).select_related("sheet", "find"), pk=pk)
    if row.signers.filter(user=request.user).exists():
        return _by_account(request, _own(request, pk))
    report = from_data(row.content)
    context = {"paper": row, "report": report, "photo_urls": club_photo_urls(report)}
    return render(request, "reports/paper.html", context)


@require_GET
def paper_pdf(request: MemberRequest, pk: int) -> HttpResponseBase:
    return _pdf(get_object_or_404(Paper.objects.visible_to(request.user), pk=pk))


@require_POST
def paper_sign(request: MemberRequest, pk: int) -> HttpResponse:
    row = _own(request, pk)
    form = SignForm(request.POST, statement=statement_of(row))
    if not _signed(request, row, form, by=request.user, via="own account"):
        return _by_account(request, row, form=form)
    return redirect("reports:paper", pk=pk)


@require_POST
def paper_dispute(request: MemberRequest, pk: int) -> HttpResponse:
    row = _own(request, pk)
    form = DeclineForm(request.POST, auto_id="dispute-%s")
    if not _disputed(request, row, form, by=request.user, via="own account"):
        return _by_account(request, row, dispute_form=form)
    return redirect("reports:paper", pk=pk)
