"""Same-find groups: make one, look at it, put a find in, take one out."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds import actions
from finds.forms import GroupAddForm, GroupForm, TakeOutForm
from finds.models import Find, FindGroup
from finds.pair_page import group_context
from people.http import MemberRequest
from people.rights import Right, require


@require_http_methods(["GET", "POST"])
def group_make(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.REVIEW_CASES)
    form = GroupForm(request.POST or None, initial={"numbers": request.GET.get("numbers", "")})
    if request.method == "POST" and form.is_valid():
        try:
            group = actions.make_group(by=request.user, at=now(), **form.cleaned_data)
        except actions.GroupError as error:
            form.add_error("numbers", str(error))
        else:
            return redirect("finds:group_detail", pk=group.pk)
    return render(request, "finds/group.html", {"form": form})


@require_GET
def group_detail(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.REVIEW_CASES)
    group = get_object_or_404(FindGroup.objects.select_related("made_by"), pk=pk)
    return render(request, "finds/group_detail.html", group_context(group))


@require_POST
def group_add(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.REVIEW_CASES)
    group = get_object_or_404(FindGroup.objects.select_related("made_by"), pk=pk)
    form = GroupAddForm(request.POST)
    if form.is_valid():
        try:
            actions.add_to_group(pk, by=request.user, at=now(), **form.cleaned_data)
        except actions.GroupError as error:
            form.add_error("numbers", str(error))
        else:
            return redirect("finds:group_detail", pk=pk)
    return render(request, "finds/group_detail.html", group_context(group, form))


@require_http_methods(["GET", "POST"])
def group_take_out(request: MemberRequest, pk: int, find: int) -> HttpResponse:
    require(request.user, Right.REVIEW_CASES)
    group = get_object_or_404(FindGroup, pk=pk)
    member = get_object_or_404(Find.objects.visible_to(request.user), pk=find)
    form = TakeOutForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.take_out(pk, member.pk, by=request.user, at=now(), words=form.cleaned_data["words"])
        except actions.GroupError as error:
            messages.error(request, str(error))
        return redirect("finds:group_detail", pk=pk)
    return render(request, "finds/take_out.html", {"form": form, "find": member, "group": group})
