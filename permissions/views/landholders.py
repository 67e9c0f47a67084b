"""Landholders, their say over sites, and their private links."""

from datetime import timedelta

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people.http import MemberRequest
from people.rights import Right, require
from permissions import actions
from permissions.actions import PartyError, StillNeededError
from permissions.forms import EndForm, LandholderForm, LinkForm, PartyForm
from permissions.landholder_page import all_held, landholder_context, landholder_rows
from permissions.models import Landholder, LandholderLink, Site, SiteParty
from permissions.views._page import complain, form_page, say
from web.paging import A_PAGE


@require_GET
def landholder_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SEE_LANDHOLDERS)
    rows = Landholder.objects.visible_to(request.user).with_sites()
    wanted = request.GET.get("q", "").strip()
    if wanted:
        rows = rows.filter(name__icontains=wanted)
    page = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    may_keep = request.user.holds(Right.MANAGE_PERMISSIONS)
    context = {
        "page": page,
        "rows": landholder_rows(page.object_list),
        "wanted": wanted,
        "may_keep": may_keep,
    }
    return render(request, "permissions/landholder_list.html", context)


@require_GET
def landholder_detail(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SEE_LANDHOLDERS)
    row = get_object_or_404(Landholder.objects.visible_to(request.user), pk=pk)
    context = landholder_context(row, request.user, at=now(), absolute=request.build_absolute_uri)
    return render(request, "permissions/landholder_detail.html", context)


@require_http_methods(["GET", "POST"])
def landholder_add(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    form = LandholderForm(request.POST or None, initial={"held_since": localdate()})
    if request.method == "POST" and form.is_valid():
        row = actions.add_landholder(by=request.user, at=now(), **form.cleaned_data)
        say(
            request, _("%(name)s is saved. Now say for which sites, on the site's page.") % {"name": row.name}
        )
        return redirect("permissions:landholder_detail", pk=row.pk)
    return form_page(request, form, _("Add a landholder"), reverse("permissions:landholder_list"))


@require_http_methods(["GET", "POST"])
def landholder_edit(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    row = get_object_or_404(Landholder.objects.visible_to(request.user), pk=pk)
    name, back = row.name, reverse("permissions:landholder_detail", args=[pk])
    form = LandholderForm(request.POST or None, instance=row)
    if request.method == "POST" and form.is_valid():
        fields = {key: value for key, value in form.cleaned_data.items() if key != "client_id"}
        actions.change_landholder(pk, by=request.user, at=now(), **fields)
        say(request, _("The changes are saved."))
        return redirect(back)
    return form_page(request, form, _("Change %(name)s") % {"name": name}, back)


@require_GET
def landholder_export(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SEE_LANDHOLDERS)
    row = get_object_or_404(Landholder.objects.visible_to(request.user), pk=pk)
    response = JsonResponse(all_held(row), json_dumps_params={"indent": 2, "ensure_ascii": False})
    response["Content-Disposition"] = f'attachment; filename="landholder-{pk}.json"'
    response["Cache-Control"] = "private, no-store"
    return response


@require_POST
def landholder_erase(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    row = get_object_or_404(Landholder.objects.visible_to(request.user), pk=pk)
    if request.POST.get("sure") != "yes":
        messages.error(request, _("Tick that you are sure: what is erased cannot be brought back."))
        return redirect("permissions:landholder_detail", pk=pk)
    try:
        actions.erase_landholder(row.pk, by=request.user, at=now(), on=localdate())
    except StillNeededError as error:
        messages.error(request, str(error))
    else:
        say(
            request,
            _("Name and contact details are erased. The dates of past consents stay, without the name."),
        )
    return redirect("permissions:landholder_detail", pk=pk)


@require_http_methods(["GET", "POST"])
def party_add(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    site = get_object_or_404(Site.objects.visible_to(request.user), pk=pk)
    back = reverse("permissions:site_detail", args=[pk])
    form = PartyForm(request.POST or None, user=request.user)
    if request.method == "POST" and form.is_valid():
        try:
            actions.add_party(pk, by=request.user, at=now(), **form.cleaned_data)
        except PartyError as error:
            form.add_error(None, str(error))
        else:
            say(request, _("The landholder is recorded for this site."))
            return redirect(back)
    return form_page(request, form, _("Who has a say over %(site)s") % {"site": site}, back)


@require_POST
def party_end(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    party = get_object_or_404(SiteParty, pk=pk, site__in=Site.objects.visible_to(request.user))
    form = EndForm(request.POST)
    if not form.is_valid():
        complain(request, form)
    else:
        try:
            actions.end_party(pk, by=request.user, at=now(), on=form.cleaned_data["on"])
        except PartyError as error:
            messages.error(request, str(error))
    return redirect("permissions:site_detail", pk=party.site_id)


@require_POST
def link_make(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    row = get_object_or_404(Landholder.objects.visible_to(request.user), pk=pk)
    form = LinkForm(request.POST)
    if form.is_valid():
        at, client_id = now(), form.cleaned_data["client_id"]
        expires = at + timedelta(days=form.cleaned_data["days"])
        actions.make_link(row, by=request.user, at=at, expires_at=expires, client_id=client_id)
        say(request, _("The link is ready: send its address, or let them scan the code."))
    else:
        complain(request, form)
    return redirect("permissions:landholder_detail", pk=pk)


@require_POST
def link_revoke(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    link = get_object_or_404(
        LandholderLink, pk=pk, landholder__in=Landholder.objects.visible_to(request.user)
    )
    actions.revoke_link(pk, by=request.user, at=now())
    say(request, _("The link no longer opens anything."))
    return redirect("permissions:landholder_detail", pk=link.landholder_id)
