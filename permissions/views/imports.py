"""Boundaries out of a file: send it, say its coordinate system, look at the shapes, save what they become."""

from collections.abc import Callable
from functools import wraps
from typing import TypeVar, cast

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n
from django.views.decorators.http import require_http_methods, require_POST

from geo.files import FileError
from people.http import MemberRequest
from people.models import Club
from people.rights import Right, require
from permissions import actions
from permissions.forms import FileForm, ImportForm, SystemForm
from permissions.import_file import Reading, read_layer, read_sites, take_upload
from permissions.import_page import club_place, preview_context, question_context, shared_in, suggestions
from permissions.models import ImportDraft, Site
from permissions.shared_ground import Shared
from permissions.views._page import form_page, say
from web.taken import TakenError

NEXT = {"sites": "permissions:import_preview", "places": "permissions:protected_preview"}


def draft_of(request: MemberRequest, pk: int) -> ImportDraft:
    """The reader's own draft that is still to be saved; 404 once it has expired."""
    require(request.user, Right.MANAGE_LAND)
    return get_object_or_404(ImportDraft.objects.visible_to(request.user).live(now()), pk=pk)


V = TypeVar("V", bound=Callable[..., HttpResponse])


def says_when_gone(view: V) -> V:
    """A file that is gone between looking and saving is said, and the way to send it again shown."""

    @wraps(view)
    def inner(request: MemberRequest, pk: int) -> HttpResponse:
        try:
            return view(request, pk)
        except actions.NoDraftError as error:
            messages.error(request, str(error))
            return redirect("permissions:import_sites")

    return cast(V, inner)


@require_http_methods(["GET", "POST"])
def import_sites(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    form = FileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        try:
            reading = read_sites(*take_upload(said["file"]), crs=said["crs"], near=club_place())
        except FileError as error:
            form.add_error("file", str(error))
        else:
            key = said["client_id"]
            draft = actions.keep_import(reading, by=request.user, at=now(), client_id=key, purpose="sites")
            return redirect("permissions:import_system" if draft.question else NEXT["sites"], pk=draft.pk)
    more = {"upload": True, "button": _("Look at it"), "intro": "permissions/_import_intro.html"}
    return form_page(request, form, _("Import boundaries"), reverse("permissions:site_list"), **more)


@require_http_methods(["GET", "POST"])
@says_when_gone
def import_system(request: MemberRequest, pk: int) -> HttpResponse:
    draft = draft_of(request, pk)
    if not draft.question:
        return redirect(NEXT[draft.purpose], pk=pk)
    form = SystemForm(request.POST or None, choices=draft.choices)
    if request.method == "POST" and form.is_valid():
        try:
            reading = _read_again(draft, form.answer)
        except FileError as error:
            form.add_error(None, str(error))
        else:
            actions.answer_import(pk, reading, by=request.user, at=now())
            return redirect(NEXT[draft.purpose], pk=pk)
    return render(request, "permissions/import_system.html", question_context(draft) | {"form": form})


def _read_again(draft: ImportDraft, crs: str) -> Reading:
    data = bytes(draft.raw or b"")
    if draft.purpose == ImportDraft.Purpose.PLACES:
        return read_layer(data, draft.filename, crs=crs, near=club_place(), within=draft.within)
    return read_sites(data, draft.filename, crs=crs, near=club_place())


@require_http_methods(["GET", "POST"])
@says_when_gone
def import_preview(request: MemberRequest, pk: int) -> HttpResponse:
    draft = draft_of(request, pk)
    if draft.question or draft.purpose != ImportDraft.Purpose.SITES:
        return redirect("permissions:import_system", pk=pk)
    if draft.saved_at and request.method == "GET":
        say(request, _("“%(filename)s” is saved already.") % {"filename": draft.filename})
        return redirect("permissions:site_list")
    shared = shared_in(draft, request.user)
    form = _import_form(request, draft, shared)
    if request.method == "POST" and form.is_valid() and (done := _saved(request, draft, form)):
        return done
    return render(
        request, "permissions/import_preview.html", preview_context(draft, request.user, form, shared)
    )


def _import_form(request: MemberRequest, draft: ImportDraft, shared: dict[int, list[Shared]]) -> ImportForm:
    club = Club.objects.filter(pk=1).first()
    codes = Site.objects.visible_to(request.user).values_list("code", flat=True)
    return ImportForm(
        request.POST or None,
        draft=draft,
        user=request.user,
        initial=suggestions(draft, shared, codes),
        jurisdiction=club.jurisdiction if club else "england",
    )


def _saved(request: MemberRequest, draft: ImportDraft, form: ImportForm) -> HttpResponse | None:
    """Where to go once it is saved; None with the reason on the form."""
    try:
        sites = actions.save_import(draft.pk, by=request.user, at=now(), choices=form.choices())
    except TakenError as error:
        form.problem = str(error)
        return None
    say(
        request,
        _n("%(count)s boundary is saved.", "%(count)s boundaries are saved.", len(sites))
        % {"count": len(sites)},
    )
    if len(sites) == 1:
        return redirect("permissions:site_detail", pk=sites[0].pk)
    return redirect("permissions:site_list")


@require_POST
@says_when_gone
def import_discard(request: MemberRequest, pk: int) -> HttpResponse:
    draft = draft_of(request, pk)
    actions.discard_import(pk, by=request.user, at=now())
    messages.success(
        request,
        _("“%(draft_filename)s” is thrown away; nothing was saved from it.")
        % {"draft_filename": draft.filename},
    )
    return redirect("permissions:site_list")
