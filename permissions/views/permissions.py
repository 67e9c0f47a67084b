"""Permissions: the list, one with its terms and consents, changes and moves."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people.http import MemberRequest
from people.rights import Right, require
from permissions import actions
from permissions.forms import MoveForm, PermissionForm
from permissions.models import Permission
from permissions.permission_page import next_reference, permission_context, permission_rows
from permissions.states import State
from permissions.views._page import complain, form_page, say
from web.paging import A_PAGE
from web.states import IllegalMoveError
from web.taken import TakenError


@require_GET
def permission_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SEE_ALL_LAND)
    permissions = Permission.objects.visible_to(request.user).with_site_names()
    wanted = request.GET.get("q", "").strip()
    if wanted:
        permissions = permissions.named_like(wanted)
    page = Paginator(permissions, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": permission_rows(page.object_list, on=localdate()),
        "wanted": wanted,
        "may_keep": request.user.holds(Right.MANAGE_PERMISSIONS),
    }
    return render(request, "permissions/permission_list.html", context)


@require_GET
def permission_detail(request: MemberRequest, pk: int) -> HttpResponse:
    permission = get_object_or_404(Permission.objects.visible_to(request.user), pk=pk)
    context = permission_context(permission, request.user, on=localdate()) | {"move_form": MoveForm()}
    return render(request, "permissions/permission_detail.html", context)


@require_http_methods(["GET", "POST"])
def permission_add(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    initial = {"reference": next_reference(), "sites": request.GET.getlist("site")}
    form = PermissionForm(request.POST or None, user=request.user, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.add_permission(by=request.user, at=now(), **form.cleaned_data)
        except TakenError as error:
            form.add_error("reference", str(error))
        else:
            say(
                request,
                _("%(reference)s is written down as a draft. Now record who consents.")
                % {"reference": row.reference},
            )
            return redirect("permissions:permission_detail", pk=row.pk)
    return form_page(request, form, _("Write down a permission"), reverse("permissions:permission_list"))


@require_http_methods(["GET", "POST"])
def permission_edit(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    permission = get_object_or_404(Permission.objects.visible_to(request.user), pk=pk)
    name, back = str(permission), reverse("permissions:permission_detail", args=[pk])
    form = PermissionForm(request.POST or None, instance=permission, user=request.user)
    if request.method == "POST" and form.is_valid():
        fields = {key: value for key, value in form.cleaned_data.items() if key != "client_id"}
        actions.change_permission(pk, by=request.user, at=now(), **fields)
        say(request, _("The changes are saved."))
        return redirect(back)
    return form_page(request, form, _("Change %(name)s") % {"name": name}, back)


@require_POST
def permission_move(request: MemberRequest, pk: int) -> HttpResponse:
    permission = get_object_or_404(Permission.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.MANAGE_PERMISSIONS)
    form = MoveForm(request.POST)
    if not form.is_valid():
        complain(request, form)
        context = permission_context(permission, request.user, on=localdate()) | {"move_form": form}
        return render(request, "permissions/permission_detail.html", context)
    to = State(form.cleaned_data["to"])
    try:
        actions.move_permission(pk, to, by=request.user, at=now(), why=form.cleaned_data["why"])
    except IllegalMoveError as error:
        messages.error(request, str(error))
    else:
        say(
            request,
            _("%(reference)s is %(value)s now.") % {"reference": permission.reference, "value": _(to.value)},
        )
    return redirect("permissions:permission_detail", pk=pk)
