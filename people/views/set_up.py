"""A club that begins: the door, the first person, the club, its contacts, its first people; each saved at once."""

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people import actions, limits
from people.forms import year_from
from people.http import MemberRequest
from people.invitations import made_by_form
from people.models import Club, Contact, Letter
from people.rights import Right, require
from people.set_up import SetUpKeyError, check_key, is_fresh
from people.set_up_clock import clock_words
from people.set_up_forms import FirstClubForm, FirstPersonForm, InviteForm, contact_forms
from people.set_up_people import invited_so_far
from people.site import site_of
from people.views.limits import too_many


@login_not_required
@require_GET
def door(request: HttpRequest) -> HttpResponse:
    """Without the key nothing is asked and nothing is told but who can print one."""
    return render(request, "people/set_up_door.html") if is_fresh() else redirect("reports:set_up")


@sensitive_post_parameters()
@login_not_required
@require_http_methods(["GET", "POST"])
def begin(request: HttpRequest, code: str) -> HttpResponse:
    """The first person. An address that opens nothing gets one plain page, whatever was wrong with it."""
    if request.method == "POST" and (wait := limits.consume(request, "accept")):
        return too_many(request, wait)
    if request.user.is_authenticated:
        return redirect("reports:set_up")  # the same form sent twice
    try:
        check_key(code, at=now())
        form = FirstPersonForm(request.POST or None)
        if request.method == "POST" and form.is_valid():
            return _begun(request, form)
    except (SetUpKeyError, actions.SetUpError) as error:
        return render(request, "people/invited_closed.html", {"why": str(error)}, status=410)
    return render(request, "people/set_up_begin.html", {"form": form})


def _begun(request: HttpRequest, form: FirstPersonForm) -> HttpResponse:
    values = form.cleaned_data
    named = {key: values[key] for key in ("club", "name", "email")}
    at = now()
    person = actions.begin_club(
        **named, password=values["new_password1"], via="set-up", at=at, on=localdate(at)
    )
    login(request, person)
    actions.note_sign_in(person, how="set-up", via="set-up", at=at)
    return redirect("set_up_club")


@require_http_methods(["GET", "POST"])
def set_up_club(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_CLUB)
    club = Club.objects.filter(pk=1).first()
    form = FirstClubForm(request.POST or None, instance=club)
    if request.method == "POST" and form.is_valid():
        actions.change_club(by=request.user, at=now(), **form.cleaned_data)
        messages.success(request, _("The club's settings are saved."))
        return redirect("set_up_contacts")
    law = club.jurisdiction if club else ""
    return render(request, "people/set_up_club.html", {"form": form, "clock": clock_words(law, at=now())})


@require_http_methods(["GET", "POST"])
def set_up_contacts(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_CLUB)
    law = Club.objects.values_list("jurisdiction", flat=True).filter(pk=1).first() or "england"
    rows = contact_forms(law, request.POST if request.method == "POST" else None)
    errors = sum(len(form.errors) for form in rows)  # of all, so that each shows its own
    if request.method == "POST" and not errors:
        for form in rows:
            if form.has_changed():
                actions.save_contact(None, by=request.user, at=now(), **form.cleaned_data)
        return redirect("set_up_people")
    known = Contact.objects.filter(jurisdiction=law)
    return render(request, "people/set_up_contacts.html", {"forms": rows, "known": known})


@require_http_methods(["GET", "POST"])
def set_up_people(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    if made_by_form(request.POST.get("client_id", "")) is not None:
        return redirect("set_up_people")
    starts, ends = year_from(localdate())
    form = InviteForm(request.POST or None, initial={"starts": starts, "ends": ends})
    if request.method == "POST" and form.is_valid():
        row = actions.invite_person(by=request.user, at=now(), site=site_of(request), **form.cleaned_data)
        messages.success(request, _("An invitation is on its way to %(email)s.") % {"email": row.user.email})
        return redirect("set_up_people")
    context = {"form": form, "people": invited_so_far(request.user, at=now())}
    return render(request, "people/set_up_people.html", context)


@require_POST
def test_letter(request: MemberRequest) -> HttpResponse:
    """Send the reader a letter, and say what became of it."""
    require(request.user, Right.MANAGE_CLUB)
    letter = Letter.objects.get(pk=actions.send_test_letter(by=request.user, at=now()).pk)
    if letter.sent_at is not None:
        words = _("The letter left for %(to)s. Look whether it arrives, and not among the unwanted.")
        messages.success(request, words % {"to": letter.to})
    else:
        words = _("The letter did not leave yet. %(why)s It stays in the outbox and is tried again.")
        messages.warning(request, words % {"why": letter.last_error})
    return redirect("reports:set_up")
