"""The list of people, one person, and one's own page."""

from datetime import date

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from people import actions
from people.access_page import access_of
from people.forms import (
    InsuranceForm,
    MembershipForm,
    OwnDetailsForm,
    PersonForm,
    RoleForm,
    year_from,
)
from people.hand_over_link import shown_once
from people.http import MemberRequest
from people.models import User
from people.rights import Right, require
from web.paging import A_PAGE


def _latest(person: User, name: str) -> date | None:
    return max((period.ends for period in getattr(person, name).all()), default=None)


@require_GET
def person_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SEE_PEOPLE)
    people = User.objects.visible_to(request.user).prefetch_related("memberships", "insurances", "roles_held")
    wanted = request.GET.get("q", "").strip()
    if wanted:
        people = people.filter(name__icontains=wanted)
    page = Paginator(people, A_PAGE).get_page(request.GET.get("page"))
    today = localdate()
    rows = [
        {
            "person": person,
            "member_until": _latest(person, "memberships"),
            "insured_until": _latest(person, "insurances"),
            "roles": ", ".join(
                sorted(r.get_role_display() for r in person.roles_held.all() if r.ends is None)
            ),
        }
        for person in page
    ]
    may_add = request.user.holds(Right.MANAGE_PEOPLE)
    context = {"page": page, "rows": rows, "today": today, "wanted": wanted, "may_add": may_add}
    return render(request, "people/person_list.html", context)


@require_GET
def person_detail(request: MemberRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(User.objects.visible_to(request.user), pk=pk)
    at = now()
    context = {
        "person": person,
        "hand_over": shown_once(request, person, by=request.user, at=at),
        "memberships": person.memberships.all(),
        "insurances": person.insurances.all(),
        "roles": person.roles_held.filter(ends=None),
        "role_form": RoleForm(),
        "may_manage": request.user.holds(Right.MANAGE_PEOPLE),
        "access": access_of(person, by=request.user, at=at),
        "today": localdate(),
    }
    response = render(request, "people/person_detail.html", context)
    if context["hand_over"]:
        response["Cache-Control"] = "private, no-store"
    return response


@require_http_methods(["GET", "POST"])
def person_edit(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    person = get_object_or_404(User.objects.visible_to(request.user), pk=pk)
    form = PersonForm(request.POST or None, instance=person)
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_person(pk, by=request.user, at=now(), **form.cleaned_data)
        except actions.LastSecretaryError as error:
            form.add_error("is_active", str(error))
        else:
            return redirect("people:person_detail", pk=pk)
    return render(
        request,
        "people/form.html",
        {"form": form, "title": _("Change %(name)s") % {"name": person.name}, "back": "people:person_list"},
    )


@require_http_methods(["GET", "POST"])
def membership_add(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    person = get_object_or_404(User.objects.visible_to(request.user), pk=pk)
    starts, ends = year_from(localdate())
    form = MembershipForm(request.POST or None, initial={"starts": starts, "ends": ends})
    if request.method == "POST" and form.is_valid():
        actions.give_membership(person, by=request.user, at=now(), **form.cleaned_data)
        return redirect("people:person_detail", pk=pk)
    return render(
        request,
        "people/form.html",
        {
            "form": form,
            "title": _("Membership of %(name)s") % {"name": person.name},
            "back": "people:person_list",
        },
    )


@require_http_methods(["GET", "POST"])
def insurance_add(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    person = get_object_or_404(User.objects.visible_to(request.user), pk=pk)
    form = InsuranceForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actions.give_insurance(person, by=request.user, at=now(), **form.cleaned_data)
        return redirect("people:person_detail", pk=pk)
    return render(
        request,
        "people/form.html",
        {
            "form": form,
            "title": _("Insurance of %(name)s") % {"name": person.name},
            "back": "people:person_list",
        },
    )


@require_http_methods(["GET", "POST"])
def me(request: MemberRequest) -> HttpResponse:
    form = OwnDetailsForm(request.POST or None, instance=request.user)
    if request.method == "POST" and form.is_valid():
        actions.change_own(by=request.user, at=now(), **form.cleaned_data)
        messages.success(request, _("Your details are saved."))
        return redirect("people:me")
    context = {
        "form": form,
        "memberships": request.user.memberships.all(),
        "insurances": request.user.insurances.all(),
        "today": localdate(),
        "add_to": request.user if request.user.holds(Right.MANAGE_PEOPLE) else None,
    }
    return render(request, "people/me.html", context)
