"""Photographs of finds: added, and served after the access check."""

from django.contrib import messages
from django.http import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds import actions
from finds.actions.photos import PreparedPhoto
from finds.forms import PhotosForm, PhotoShowsForm
from finds.models import Find, FindPhoto
from finds.screens import reader_rights
from people.http import MemberRequest
from people.rights import Right, require
from web.files import private_file


@require_POST
def photo_add(request: MemberRequest, pk: int) -> HttpResponseBase:
    find = get_object_or_404(Find.objects.visible_to(request.user), pk=pk)
    form = PhotosForm(request.POST, request.FILES)
    if form.is_valid():
        said = {name: form.cleaned_data[name] for name in ("view", "caption", "has_scale")}
        prepared = [PreparedPhoto(taken, **said) for taken in form.cleaned_data["photos"]]
        actions.add_photos(pk, prepared, by=request.user, at=now())
    else:
        for error in form.errors.get("photos", []):
            messages.error(request, str(error))
    return redirect("finds:detail", pk=find.pk)


@require_http_methods(["GET", "POST"])
def photo_shows(request: MemberRequest, pk: int) -> HttpResponseBase:
    """Say what a photograph shows, whether with a scale."""
    visible = Find.objects.visible_to(request.user)
    row = get_object_or_404(FindPhoto.objects.filter(find__in=visible).select_related("find__hunt"), pk=pk)
    if not reader_rights(row.find, request.user)["may_change"]:
        require(request.user, Right.SEE_ALL_FINDS)
    form = PhotoShowsForm(request.POST or None, instance=row)
    if request.method == "POST" and form.is_valid():
        actions.describe_photo(pk, by=request.user, at=now(), **form.cleaned_data)
        return redirect("finds:detail", pk=row.find_id)
    return render(request, "finds/photo_shows.html", {"form": form, "photo": row, "find": row.find})


@require_GET
def photo(request: MemberRequest, pk: int, size: str) -> HttpResponseBase:
    visible = Find.objects.visible_to(request.user)
    row = get_object_or_404(FindPhoto.objects.filter(find__in=visible).select_related("find"), pk=pk)
    file = row.thumb if size == "thumb" else row.display
    return private_file(file, content_type="image/jpeg", filename=f"{row.find.number}-{row.pk}.jpg")
