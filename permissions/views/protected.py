"""Protected places: the layers with their age, and a new one out of a file of open data."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from geo.files import FileError
from people.http import MemberRequest
from people.rights import Right, require
from permissions import actions
from permissions.forms import FileForm, LayerForm, NewLayerForm
from permissions.import_file import read_layer, take_upload
from permissions.import_page import club_place
from permissions.models import ImportDraft, ProtectedLayer
from permissions.protected_page import (
    attributes_of,
    draft_context,
    ground_asked_for,
    layer_context,
    layers_context,
)
from permissions.views._page import form_page, say
from permissions.views.imports import NEXT, draft_of, says_when_gone


@require_GET
def protected_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SEE_ALL_LAND)
    return render(request, "permissions/protected_list.html", layers_context(request.user, localdate()))


@require_GET
def protected_detail(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SEE_ALL_LAND)
    layer = get_object_or_404(ProtectedLayer.objects.visible_to(request.user), pk=pk)
    context = layer_context(layer, request.user, localdate(), request.GET.get("page"))
    return render(request, "permissions/protected_detail.html", context)


@require_http_methods(["GET", "POST"])
def protected_import(request: MemberRequest, pk: int | None = None) -> HttpResponse:
    """A file of places: a new layer, or newer data for the layer `pk`."""
    require(request.user, Right.MANAGE_LAND)
    layers = ProtectedLayer.objects.visible_to(request.user)
    layer = None if pk is None else get_object_or_404(layers, pk=pk)
    form = FileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid() and (draft := _draft(request, form, layer)):
        return redirect("permissions:import_system" if draft.question else NEXT["places"], pk=draft.pk)
    title = (
        _("Newer data for %(layer)s") % {"layer": layer} if layer else _("Import a layer of protected places")
    )
    more = {"upload": True, "button": _("Look at it"), "intro": "permissions/_protected_intro.html"}
    return form_page(request, form, title, reverse("permissions:protected_list"), **more)


def _draft(request: MemberRequest, form: FileForm, layer: ProtectedLayer | None) -> ImportDraft | None:
    """The file read and kept; None with the reason on the form."""
    said = form.cleaned_data
    try:
        file, box = take_upload(said["file"]), ground_asked_for()
        reading = read_layer(*file, crs=said["crs"], near=club_place(), within=box)
    except FileError as error:
        form.add_error("file", str(error))
        return None
    key = said["client_id"]
    return actions.keep_import(
        reading, by=request.user, at=now(), client_id=key, purpose="places", layer=layer
    )


@require_http_methods(["GET", "POST"])
@says_when_gone
def protected_preview(request: MemberRequest, pk: int) -> HttpResponse:
    draft = draft_of(request, pk)
    if draft.question or draft.purpose != ImportDraft.Purpose.PLACES:
        return redirect("permissions:import_system", pk=pk)
    if draft.saved_at and draft.layer and request.method == "GET":
        return redirect("permissions:protected_detail", pk=draft.layer.pk)
    attributes = attributes_of(draft)
    form = NewLayerForm(request.POST or None, instance=draft.layer, today=localdate(), attributes=attributes)
    if request.method == "POST" and form.is_valid():
        layer = actions.save_layer(pk, by=request.user, at=now(), **form.cleaned_data)
        say(request, _("%(layer)s is saved, and every site is compared with it.") % {"layer": layer})
        return redirect("permissions:protected_detail", pk=layer.pk)
    margin = form.instance.buffer_m
    context = draft_context(draft, request.user, margin)
    return render(request, "permissions/protected_preview.html", context | {"form": form})


@require_http_methods(["GET", "POST"])
def protected_edit(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    layer = get_object_or_404(ProtectedLayer.objects.visible_to(request.user), pk=pk)
    name, back = str(layer), reverse("permissions:protected_detail", args=[pk])
    form = LayerForm(request.POST or None, instance=layer, today=localdate())
    if request.method == "POST" and form.is_valid():
        actions.change_layer(pk, by=request.user, at=now(), **form.cleaned_data)
        say(request, _("The changes are saved."))
        return redirect(back)
    return form_page(request, form, _("Change %(name)s") % {"name": name}, back)


@require_POST
def protected_delete(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    layer = get_object_or_404(ProtectedLayer.objects.visible_to(request.user), pk=pk)
    actions.remove_layer(pk, by=request.user, at=now())
    say(request, _("%(layer)s is taken off; the gate goes by what is left at once.") % {"layer": layer})
    return redirect("permissions:protected_list")
