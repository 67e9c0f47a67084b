"""Heritage reports: preview and issue, the data package, differences, sendings and what was answered."""

from django.contrib import messages
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds.actions import CaseError
from finds.models import Case
from people.http import MemberRequest
from people.rights import Right, require
from reports import actions
from reports.actions import IssuedMeanwhileError, SendingError, issue_report
from reports.drafts import draft_for_case, photos_of
from reports.heritage_forms import AcknowledgementForm, SendingForm
from reports.heritage_page import choices_of, comparison, contacts_for, preview_context
from reports.models import IssuedReport, Kind, ReportSending
from reports.package import write_package
from reports.pdf import render_pdf
from web.files import private_file


def _case(request: MemberRequest, pk: int) -> Case:
    require(request.user, Right.ISSUE_HERITAGE_REPORTS)
    return get_object_or_404(Case.objects.visible_to(request.user), pk=pk)


@require_GET
def heritage(request: MemberRequest, pk: int) -> HttpResponse:
    context = preview_context(_case(request, pk), request.user, at=now())
    return render(
        request, "reports/preview.html", context | {"issue_url": reverse("reports:issue_heritage", args=[pk])}
    )


@require_POST
def issue_heritage(request: MemberRequest, pk: int) -> HttpResponse:
    case = _case(request, pk)
    draft = draft_for_case(case, by=request.user, at=now())
    assert draft.case_facts is not None
    pdf = render_pdf(draft.report, photos_of(draft.report))
    try:
        with write_package(draft.report, draft.case_facts, pdf) as package:
            row = issue_report(
                Kind.HERITAGE, draft, pdf, by=request.user, at=now(), case=case, package=package
            )
    except IssuedMeanwhileError as error:
        messages.error(request, str(error))
        return redirect("reports:heritage", pk)
    messages.success(
        request,
        _("%(row_number)s is issued and frozen. Send it, then record here that it was sent.")
        % {"row_number": row.number},
    )
    return redirect("reports:issued", pk=row.pk)


@require_GET
def differences(request: MemberRequest, pk: int) -> HttpResponse:
    case = _case(request, pk)
    choices = choices_of(case, request.user)
    issued = [key for key, _rest in choices[1:]]
    before = request.GET.get("before") or (issued[0] if issued else "")
    after = request.GET.get("after") or choices[0][0]
    found = comparison(case, request.user, before=before, after=after, at=now()) if issued else None
    if issued and found is None:
        raise Http404("One of the two is no issue of this case.")
    context = {"case": case, "choices": choices, "before": before, "after": after, "found": found}
    return render(request, "reports/differences.html", context)


def _issued(request: MemberRequest, pk: int) -> IssuedReport:
    rows = IssuedReport.objects.visible_to(request.user).filter(kind=Kind.HERITAGE)
    return get_object_or_404(rows.select_related("case", "package"), pk=pk)


@require_GET
def package(request: MemberRequest, pk: int) -> HttpResponseBase:
    row = _issued(request, pk)
    kept = getattr(row, "package", None)
    if kept is None:
        raise Http404("This report was issued without a data package.")
    actions.report_seen(row, by=request.user, at=now(), where="issued report, data package")
    return private_file(kept.file, content_type="application/zip", filename=f"{row.number}.zip", inline=False)


@require_http_methods(["GET", "POST"])
def report_send(request: MemberRequest, pk: int) -> HttpResponse:
    row = _issued(request, pk)
    assert row.case is not None
    form = SendingForm(request.POST or None, contacts=contacts_for(row.case), report=row, at=now())
    if request.method == "POST" and form.is_valid():
        try:
            actions.report_sent(row.pk, by=request.user, at=now(), **form.cleaned_data)
        except (SendingError, CaseError) as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request,
                _("Recorded: %(row_number)s was sent to %(form_cleaned_data)s.")
                % {"row_number": row.number, "form_cleaned_data": form.cleaned_data["to_name"]},
            )
            return redirect("reports:issued", pk=pk)
    return render(request, "reports/send.html", {"row": row, "form": form})


@require_http_methods(["GET", "POST"])
def sending_acknowledge(request: MemberRequest, pk: int) -> HttpResponse:
    rows = ReportSending.objects.visible_to(request.user).select_related("report")
    sending = get_object_or_404(rows, pk=pk)
    form = AcknowledgementForm(request.POST or None, initial={"on": localdate(), "who": sending.to_name})
    if request.method == "POST" and form.is_valid():
        try:
            actions.report_acknowledged(pk, by=request.user, at=now(), **form.cleaned_data)
        except (SendingError, CaseError) as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("Recorded: they have it."))
            return redirect("reports:issued", pk=sending.report_id)
    return render(request, "reports/acknowledge.html", {"sending": sending, "form": form})
