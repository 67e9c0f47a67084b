"""Records from phones that need somebody: try again, correct, leave out, let in."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from field import actions
from field.forms import CorrectForm, LeaveOutForm
from field.intake import take_again, take_corrected
from field.models import PhoneRecord, PhotoUpload
from field.parked_page import may_correct, parked_page
from field.photos import try_photo
from field.results import Result
from people.http import MemberRequest
from people.rights import Right, require


@require_GET
def parked(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.LOG_HOLES)
    return render(request, "field/parked.html", parked_page(request.user))


def _own(request: MemberRequest, pk: int) -> PhoneRecord:
    rows = PhoneRecord.objects.visible_to(request.user).own_of(request.user).parked()
    return get_object_or_404(rows.select_related("hunt", "owner"), pk=pk)


def _say(request: MemberRequest, result: Result) -> None:
    if result.state == "parked":
        messages.error(request, _("It still waits. %(result_why)s") % {"result_why": result.why})
    elif result.state == "waiting":
        messages.warning(request, _("It still waits. %(result_why)s") % {"result_why": result.why})
    else:
        messages.success(
            request,
            _("It is stored: %(label)s.") % {"label": result.label} if result.label else _("It is stored."),
        )


@require_POST
def again(request: MemberRequest, pk: int) -> HttpResponse:
    _say(request, take_again(_own(request, pk), at=now()))
    return redirect("field:parked")


@require_http_methods(["GET", "POST"])
def correct(request: MemberRequest, pk: int) -> HttpResponse:
    row = _own(request, pk)
    if not may_correct(row):
        raise Http404("There is nothing to correct in this one.")
    about = {"kind": row.kind, "sent": row.sent, "hunt": row.hunt, "by": request.user, "at": now()}
    form = CorrectForm(request.POST if request.method == "POST" else None, **about)
    if request.method == "POST" and form.is_valid():
        result = take_corrected(row, form.corrected(), form.cleaned_data["when"], at=now())
        if result.state != "parked":
            _say(request, result)
            return redirect("field:parked")
        form.add_error(None, result.why)
    return render(request, "field/correct.html", {"form": form, "row": row})


@require_http_methods(["GET", "POST"])
def leave(request: MemberRequest, pk: int) -> HttpResponse:
    row = _own(request, pk)
    form = LeaveOutForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        actions.leave_out(row.pk, by=request.user, at=now(), why=form.cleaned_data["why"])
        messages.success(request, _("It is left out; the record stays, with your words."))
        return redirect("field:parked")
    return render(request, "field/leave.html", {"form": form, "row": row})


@require_POST
def let_in(request: MemberRequest, pk: int) -> HttpResponse:
    """The leader vouches for a record without seeing what it says; it is then tried as its maker's."""
    rows = PhoneRecord.objects.visible_to(request.user).parked()
    row = get_object_or_404(rows, pk=pk)
    let = actions.let_in(row.pk, by=request.user, at=now())
    result = take_again(let, at=now())
    stored = result.state in {"stored", "again"}
    said = _("It is stored.") if stored else _("It still waits: its maker sees why.")
    (messages.success if stored else messages.warning)(request, said)
    return redirect("field:parked")


@require_POST
def photo_again(request: MemberRequest, pk: int) -> HttpResponse:
    """The phone that sent it may be gone; its bytes are here."""
    rows = PhotoUpload.objects.visible_to(request.user).exclude(state=PhotoUpload.State.LEFT_OUT)
    after = try_photo(get_object_or_404(rows, pk=pk), by=request.user, at=now())
    _say(request, Result(None, after.state, why=after.why))
    return redirect("field:parked")


@require_POST
def leave_photo(request: MemberRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(PhotoUpload.objects.visible_to(request.user), pk=pk)
    actions.leave_photo_out(row.pk, by=request.user, at=now())
    messages.success(request, _("The photograph is left out."))
    return redirect("field:parked")
