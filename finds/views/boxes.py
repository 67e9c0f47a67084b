"""Storage boxes: what is in them, what their cards say, and what they ask."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds import actions
from finds.box_page import boxes_shown, inside
from finds.forms.boxes import BoxForm, BoxReadingForm, IntoBoxForm
from finds.models import Box, Find
from people.http import MemberRequest
from people.rights import Right, require
from web.forms import BaseForm, OnceModelForm
from web.taken import TakenError


@require_GET
def box_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MOVE_CUSTODY)
    return render(request, "finds/box_list.html", {"boxes": boxes_shown(localdate())})


@require_http_methods(["GET", "POST"])
def box_edit(request: MemberRequest, pk: int | None = None) -> HttpResponse:
    require(request.user, Right.MOVE_CUSTODY)
    box = get_object_or_404(Box, pk=pk) if pk else None
    form = BoxForm(request.POST or None, instance=box)
    if request.method == "POST" and form.is_valid():
        try:
            saved = actions.save_box(pk, by=request.user, at=now(), **form.cleaned_data)
        except TakenError as error:
            form.add_error("name", str(error))
        else:
            return redirect("finds:box", pk=saved.pk)
    return render(request, "finds/box_edit.html", {"form": form, "box": box})


def _page(
    request: MemberRequest, box: Box, reading: OnceModelForm | None = None, put: BaseForm | None = None
) -> HttpResponse:
    today = localdate()
    context = {
        "box": box,
        "shown": boxes_shown(today, box)[0],
        "readings": box.readings.select_related("by")[:50],
        "inside": inside(box, request.user),
        "reading_form": reading or BoxReadingForm(today=today, auto_id="read-%s"),
        "into_form": put or IntoBoxForm(auto_id="into-%s"),
    }
    return render(request, "finds/box.html", context)


@require_GET
def box(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MOVE_CUSTODY)
    return _page(request, get_object_or_404(Box, pk=pk))


@require_POST
def box_read(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MOVE_CUSTODY)
    row = get_object_or_404(Box, pk=pk)
    form = BoxReadingForm(request.POST, today=localdate(), auto_id="read-%s")
    if not form.is_valid():
        return _page(request, row, reading=form)
    actions.read_box(pk, by=request.user, at=now(), **form.cleaned_data)
    return redirect("finds:box", pk=pk)


@require_POST
def box_in(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MOVE_CUSTODY)
    row = get_object_or_404(Box, pk=pk)
    form = IntoBoxForm(request.POST, auto_id="into-%s")
    if form.is_valid():
        try:
            actions.into_box(pk, form.cleaned_data["numbers"], by=request.user, at=now())
        except actions.BoxError as error:
            form.add_error("numbers", str(error))
        else:
            return redirect("finds:box", pk=pk)
    return _page(request, row, put=form)


@require_POST
def box_out(request: MemberRequest, pk: int) -> HttpResponse:
    """Take one find out of the box it lies in."""
    find = get_object_or_404(Find.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.MOVE_CUSTODY)
    actions.take_out_of_box(pk, by=request.user, at=now())
    messages.success(request, _("%(find_number)s is out of its box.") % {"find_number": find.number})
    return redirect("finds:box_list")
