"""Holes: the list, logging, one hole and what is done with it."""

from io import BytesIO

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hunts import actions, maps, screens
from hunts.actions.waiting_photos import let_photos_go
from hunts.errors import HuntError
from hunts.forms import HoleForm, HolePhotosForm, ReopenForm
from hunts.models import Hole, HolePhoto, Hunt, PhotoDraft
from hunts.models.hole import HoleQuerySet
from hunts.pages import hole_page
from hunts.stops import stops_of_hunt
from hunts.views.said import keep_for_next_time, saying_errors, sent
from people.http import MemberRequest
from people.rights import Right, require
from web.files import private_file
from web.paging import A_PAGE


@require_GET
def hole_list(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    holes = screens.holes_seen(hunt, request.user)
    unfilled = request.GET.get("state") == "unfilled"
    page = Paginator(holes.unfilled() if unfilled else holes, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "hunt": hunt,
        "page": page,
        "rows": screens.hole_rows(page, request.user),
        "only_unfilled": unfilled,
        "features": maps.with_holes(hunt, page, request.user),
    }
    return render(request, "hunts/hole_list.html", context)


@require_http_methods(["GET", "POST"])
def hole_log(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user).select_related("leader"), pk=pk)
    require(request.user, Right.LOG_HOLES)
    form = HoleForm(*sent(request), hunt=hunt, by=request.user, at=now())
    if request.method == "POST" and form.is_valid():
        try:
            hole = actions.log_hole(pk, by=request.user, at=now(), **form.asked(), **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            return _after_logging(request, hole, form)
    keep_for_next_time(request, form)
    context = {"form": form, "hunt": hunt, "stops": stops_of_hunt(hunt), "features": maps.ground(hunt)}
    return render(request, "hunts/hole_form.html", context)


def _after_logging(request: MemberRequest, hole: Hole, form: HoleForm) -> HttpResponse:
    """The drill at once where digging stopped; else the hunt again, one tap from the next hole."""
    if form.waiting:
        let_photos_go(form.cleaned_data["client_id"], by=request.user, at=now())
    for note in form.position_notes:
        messages.info(request, note)
    if hole.locked and form.cleaned_data["stopped_for"]:
        messages.warning(
            request,
            _("Hole %(hole_number)s is recorded and its place is locked. Now do what stands here.")
            % {"hole_number": hole.number},
        )
        stopped = hole.incidents.filter(kind=form.cleaned_data["stopped_for"]).order_by("-pk")[0]
        return redirect("finds:incident", pk=stopped.pk)
    messages.success(request, _("Hole %(hole_number)s is logged.") % {"hole_number": hole.number})
    limit = hole.hunt.permission.depth_limit_cm if hole.hunt.permission else None
    if limit is not None and hole.depth_cm > limit:
        messages.warning(
            request,
            _("%(hole_depth_cm)s cm is deeper than the %(limit)s cm agreed here. Tell the leader.")
            % {"hole_depth_cm": hole.depth_cm, "limit": limit},
        )
    return redirect("hunts:hole_detail", pk=hole.pk)


@require_GET
def hole_detail(request: MemberRequest, pk: int) -> HttpResponse:
    hole = get_object_or_404(
        _seen(request).select_related("site", "digger", "filled_by", "checked_by"), pk=pk
    )
    return _hole(request, hole, ReopenForm())


def _hole(request: MemberRequest, hole: Hole, reopen: ReopenForm) -> HttpResponse:
    forms = {"photos_form": HolePhotosForm(), "reopen_form": reopen}
    return render(request, "hunts/hole_detail.html", hole_page(hole, request.user, at=now()) | forms)


def _seen(request: MemberRequest) -> HoleQuerySet:
    return Hole.objects.visible_to(request.user).select_related("hunt__leader")


@require_http_methods(["GET", "POST"])
def hole_edit(request: MemberRequest, pk: int) -> HttpResponse:
    hole = get_object_or_404(_seen(request).select_related("site"), pk=pk)
    hunt, user = hole.hunt, request.user
    form = HoleForm(*sent(request), instance=hole, hunt=hunt, by=user, at=now())
    if request.method == "POST" and form.is_valid():
        try:
            changed = actions.change_hole(pk, by=user, at=now(), **form.asked(), **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            return _after_logging(request, changed, form)
    keep_for_next_time(request, form)
    context = {"form": form, "hunt": hunt, "hole": hole, "features": maps.ground(hunt)}
    return render(request, "hunts/hole_form.html", context)


@require_POST
def hole_fill(request: MemberRequest, pk: int) -> HttpResponse:
    hole = get_object_or_404(_seen(request), pk=pk)
    with saying_errors(request):
        actions.fill_hole(hole.pk, by=request.user, at=now())
        messages.success(request, _("Hole %(hole_number)s is filled.") % {"hole_number": hole.number})
    return redirect("hunts:hole_detail", pk=pk)


@require_POST
def hole_check(request: MemberRequest, pk: int) -> HttpResponse:
    hole = get_object_or_404(_seen(request), pk=pk)
    with saying_errors(request):
        actions.check_hole(hole.pk, by=request.user, at=now())
        messages.success(request, _("Hole %(hole_number)s is checked.") % {"hole_number": hole.number})
    return redirect("hunts:hole_detail", pk=pk)


@require_POST
def hole_reopen(request: MemberRequest, pk: int) -> HttpResponse:
    hole = get_object_or_404(_seen(request), pk=pk)
    require(request.user, Right.CHECK_HOLES)
    form = ReopenForm(request.POST)
    if not form.is_valid():
        return _hole(request, hole, form)
    with saying_errors(request):
        actions.reopen_hole(hole.pk, by=request.user, at=now(), why=form.cleaned_data["why"])
        messages.success(
            request,
            _("Hole %(hole_number)s is open again; its digger sees why.") % {"hole_number": hole.number},
        )
    return redirect("hunts:hole_detail", pk=pk)


@require_POST
def hole_photo_add(request: MemberRequest, pk: int) -> HttpResponse:
    hole = get_object_or_404(_seen(request), pk=pk)
    form = HolePhotosForm(request.POST, request.FILES)
    if form.is_valid():
        actions.add_hole_photos(hole.pk, form.prepared(), by=request.user, at=now())
    for errors in form.errors.values():
        for error in errors:
            messages.error(request, str(error))
    return redirect("hunts:hole_detail", pk=pk)


@require_GET
def hole_photo(request: MemberRequest, pk: int, size: str) -> HttpResponseBase:
    visible = Hole.objects.visible_to(request.user)
    row = get_object_or_404(HolePhoto.objects.filter(hole__in=visible).select_related("hole__hunt"), pk=pk)
    file = row.thumb if size == "thumb" else row.display
    name = f"{row.hole.hunt.code}-hole-{row.hole.number}-{row.stage}.jpg"
    try:
        return private_file(file, content_type="image/jpeg", filename=name)
    except FileNotFoundError as error:
        raise Http404(_("This photograph is no longer in the store.")) from error


@require_GET
def photo_waiting(request: MemberRequest, pk: int) -> HttpResponseBase:
    """A photograph whose form is not saved yet, small, for nobody but whoever sent it."""
    drafts = PhotoDraft.objects.visible_to(request.user).live(now())
    draft = get_object_or_404(drafts.only("thumb"), pk=pk)
    return private_file(
        BytesIO(bytes(draft.thumb)), content_type="image/jpeg", filename=f"waiting-{draft.pk}.jpg"
    )
