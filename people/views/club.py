"""The club's own pages: settings, contacts and roles."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people import actions
from people.contact_form import ContactForm
from people.contacts import contacts_by_law
from people.forms import ClubForm, RoleForm
from people.http import MemberRequest
from people.models import Club, Contact, RoleHeld, User
from people.rights import Right, Role, require


@require_GET
def club(request: MemberRequest) -> HttpResponse:
    context = {
        "laws": contacts_by_law(),
        "may_manage_club": request.user.holds(Right.MANAGE_CLUB),
        "may_see_people": request.user.holds(Right.SEE_PEOPLE),
        "may_see_audit": request.user.holds(Right.SEE_AUDIT),
        "member": bool(request.user.roles),
    }
    return render(request, "people/club.html", context)


@require_http_methods(["GET", "POST"])
def club_settings(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_CLUB)
    form = ClubForm(request.POST or None, instance=Club.objects.filter(pk=1).first())
    if request.method == "POST" and form.is_valid():
        actions.change_club(by=request.user, at=now(), **form.cleaned_data)
        messages.success(request, _("The club's settings are saved."))
        return redirect("people:club")
    return render(
        request, "people/form.html", {"form": form, "title": _("Club settings"), "back": "people:club"}
    )


@require_http_methods(["GET", "POST"])
def contact_edit(request: MemberRequest, pk: int | None = None) -> HttpResponse:
    require(request.user, Right.MANAGE_CLUB)
    contact = get_object_or_404(Contact, pk=pk) if pk else None
    initial = None if contact else {name: request.GET.get(name) for name in ("kind", "jurisdiction")}
    form = ContactForm(request.POST or None, instance=contact, initial=initial)
    if request.method == "POST" and form.is_valid():
        kept = actions.save_contact(pk, by=request.user, at=now(), **form.cleaned_data)
        messages.success(request, _("%(kept)s is kept. Drills and emergency cards show it.") % {"kept": kept})
        return redirect("people:club")
    title = _("Change %(contact_name)s") % {"contact_name": contact.name} if contact else _("Whom to call")
    return render(request, "people/form.html", {"form": form, "title": title, "back": "people:club"})


@require_http_methods(["GET", "POST"])
def contact_delete(request: MemberRequest, pk: int) -> HttpResponse:
    """Asks first: a drill may be left with nobody to call."""
    require(request.user, Right.MANAGE_CLUB)
    contact = get_object_or_404(Contact, pk=pk)
    if request.method == "GET":
        return render(request, "people/contact_remove.html", {"contact": contact})
    actions.remove_contact(contact, by=request.user, at=now())
    messages.success(request, _("%(contact)s is removed.") % {"contact": contact})
    return redirect("people:club")


@require_POST
def role_give(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    person = get_object_or_404(User.objects.visible_to(request.user), pk=pk)
    form = RoleForm(request.POST)
    if form.is_valid():
        role = Role(form.cleaned_data["role"])
        actions.give_role(person, role, by=request.user, at=now(), on=localdate())
    else:
        messages.error(
            request,
            _("“%(get)s” is not a role of this club; choose one from the list.")
            % {"get": request.POST.get("role", "")},
        )
    return redirect("people:person_detail", pk=pk)


@require_POST
def role_take(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    held = get_object_or_404(RoleHeld, pk=pk)
    try:
        actions.take_role(pk, by=request.user, at=now(), on=localdate())
    except actions.LastSecretaryError as error:
        messages.error(request, str(error))
    return redirect("people:person_detail", pk=held.user_id)
