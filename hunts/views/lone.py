"""Lone hunts: go out, stay longer, come back."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.formats import date_format
from django.utils.timezone import localtime, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hunts import actions
from hunts.errors import HuntError
from hunts.forms.lone import FORMAT, DueBackForm, LoneHuntForm
from hunts.models import LoneHunt
from hunts.views.said import saying_errors, sent
from people.http import MemberRequest
from people.rights import Right, require
from web.paging import A_PAGE


@require_GET
def lone_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SIGN_UP)
    at = now()
    rows = LoneHunt.objects.visible_to(request.user).select_related("user", "site")
    page = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    shown = [{"lone": row, "late": row.back_at is None and row.due_back < at} for row in page]
    return render(request, "hunts/lone_list.html", {"page": page, "rows": shown})


@require_http_methods(["GET", "POST"])
def lone_add(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SIGN_UP)
    form = LoneHuntForm(sent(request)[0], by=request.user, at=now())
    if request.method == "POST" and form.is_valid():
        try:
            once = form.cleaned_data["client_id"]
            lone = actions.go_out_alone(by=request.user, at=now(), client_id=once, **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("Written down. Say here that you are back, or the alarm goes out."))
            return redirect("hunts:lone_detail", pk=lone.pk)
    return render(request, "hunts/lone_form.html", {"form": form})


@require_GET
def lone_detail(request: MemberRequest, pk: int) -> HttpResponse:
    rows = LoneHunt.objects.visible_to(request.user).select_related("user", "site", "back_by")
    lone = get_object_or_404(rows, pk=pk)
    own = lone.user_id == request.user.pk
    form = DueBackForm(initial={"due_back": localtime(lone.due_back).strftime(FORMAT)})
    context = {
        "lone": lone,
        "form": form,
        "late": lone.back_at is None and lone.due_back < now(),
        "may_change": own and lone.back_at is None,
        "may_say_back": lone.back_at is None and (own or request.user.holds(Right.RUN_HUNT)),
        "notices": lone.late_notices.all(),
    }
    return render(request, "hunts/lone_detail.html", context)


@require_POST
def lone_change(request: MemberRequest, pk: int) -> HttpResponse:
    get_object_or_404(LoneHunt.objects.visible_to(request.user), pk=pk)
    form = DueBackForm(request.POST)
    if form.is_valid():
        with saying_errors(request):
            lone = actions.change_due_back(pk, by=request.user, at=now(), **form.cleaned_data)
            messages.success(
                request,
                _("You are due back at %(lone_due_back)s now.")
                % {"lone_due_back": date_format(localtime(lone.due_back), "H:i")},
            )
    for errors in form.errors.values():
        messages.error(request, str(errors[0]))
    return redirect("hunts:lone_detail", pk=pk)


@require_POST
def lone_back(request: MemberRequest, pk: int) -> HttpResponse:
    lone = get_object_or_404(LoneHunt.objects.visible_to(request.user), pk=pk)
    actions.come_back(pk, by=request.user, at=now())
    own = lone.user_id == request.user.pk
    messages.success(
        request, _("Good that you are back.") if own else _("Recorded as back; no alarm goes out.")
    )
    return redirect("hunts:lone_detail", pk=pk) if own else redirect("hunts:lone_list")
