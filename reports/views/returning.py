"""What goes back to one landholder: choose the time, tick what goes back now, issue the statement."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from finds.actions import CustodyError
from finds.models import Find
from people.http import MemberRequest
from people.rights import Right, require
from permissions.models import Landholder
from reports import actions
from reports.actions import IssuedMeanwhileError
from reports.blocks import Report
from reports.build.returns_of import Scope, finds_of
from reports.drafts import draft_for_returns, photos_of
from reports.models import IssuedReport
from reports.pdf import render_pdf
from reports.photos import club_photo_urls
from reports.returns_forms import GoingForm, TimeForm, asked_time


def _page(
    request: MemberRequest,
    landholder: Landholder,
    time_form: TimeForm,
    report: Report | None,
    form: GoingForm | None,
) -> HttpResponse:
    context = {"landholder": landholder, "time_form": time_form, "report": report, "form": form}
    context["photo_urls"] = club_photo_urls(report) if report else {}
    return render(request, "reports/returning.html", context)


@require_http_methods(["GET", "POST"])
def returning(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SEE_LANDHOLDERS)
    require(request.user, Right.ISSUE_REPORTS)
    landholder = get_object_or_404(Landholder, pk=pk)
    time_form = TimeForm(asked_time(request.POST or request.GET, localdate()), auto_id="id_time_%s")
    if not time_form.is_valid():
        return _page(request, landholder, time_form, None, None)
    scope = Scope(landholder, time_form.cleaned_data["since"], time_form.cleaned_data["until"])
    finds = finds_of(scope)
    form = GoingForm(request.POST or None, finds=finds, since=scope.since, until=scope.until)
    if request.method == "POST" and form.is_valid():
        row = _issue(request, scope, finds, form)
        if row is not None:
            return redirect("reports:issued", pk=row.pk)
    report = draft_for_returns(scope, finds, set(), on=localdate()).report
    return _page(request, landholder, time_form, report, form)


def _issue(request: MemberRequest, scope: Scope, finds: list[Find], form: GoingForm) -> IssuedReport | None:
    going = {int(key) for key in form.cleaned_data["going"]}
    draft = draft_for_returns(scope, finds, going, on=localdate())
    pdf = render_pdf(draft.report, photos_of(draft.report))
    chosen = [find for find in finds if find.pk in going]
    once = {"by": request.user, "at": now(), "client_id": form.cleaned_data["client_id"]}
    try:
        row = actions.issue_returns(scope.landholder, draft, pdf, chosen, **once)
    except (CustodyError, IssuedMeanwhileError, PermissionDenied) as error:
        form.add_error(None, str(error))
        return None
    messages.success(
        request,
        _("%(row_number)s is issued and frozen. The objects move when it is confirmed.")
        % {"row_number": row.number},
    )
    return row
