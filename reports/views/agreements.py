"""The agreement of a permission: its text, sending it for signature, and what was sent."""

from collections.abc import Callable
from datetime import timedelta

from django.contrib import messages
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from people.http import MemberRequest
from people.rights import Right, require
from permissions.models import Permission
from reports import actions
from reports.actions import AgreementError
from reports.actions.agreements import Sent
from reports.agreement_page import agreement_context, issued_context, send_form
from reports.models import AgreementIssue, SignatureRequest
from reports.pdf import render_pdf
from reports.sign_forms import SendForm
from web.files import private_file


def _address(request: MemberRequest) -> Callable[[str], str]:
    """Makes the whole address of a signer's key."""
    return lambda key: request.build_absolute_uri(reverse("reports:sign", args=[key]))


def _say_sent(request: MemberRequest, sent: Sent) -> None:
    if sent.mailed:
        messages.success(
            request,
            _("%(issue_number)s is on its way to %(sent_mailed)s.")
            % {"issue_number": sent.issue.number, "sent_mailed": ", ".join(sent.mailed)},
        )
    if sent.by_hand:
        names = ", ".join(sent.by_hand)
        messages.info(
            request,
            _("No e-mail is known for %(names)s: hand over the address or the code below.")
            % {"names": names},
        )
    if not (sent.mailed or sent.by_hand):
        messages.info(request, _("Everybody you ticked has signed already."))


def _page(request: MemberRequest, permission: Permission, form: SendForm) -> HttpResponse:
    context = agreement_context(permission, form, at=now(), absolute=request.build_absolute_uri)
    return render(request, "reports/agreement.html", context)


@require_GET
def agreement(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    permission = get_object_or_404(Permission.objects.visible_to(request.user), pk=pk)
    return _page(request, permission, send_form(permission, localdate()))


@require_POST
def agreement_send(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    permission = get_object_or_404(Permission.objects.visible_to(request.user), pk=pk)
    form = send_form(permission, localdate(), request.POST)
    if not form.is_valid():
        return _page(request, permission, form)
    report = form.report
    at, signers = now(), form.cleaned_data["signers"]
    when = {"at": at, "expires_at": at + timedelta(days=form.cleaned_data["days"])}
    try:
        sent = actions.send_agreement(
            pk, report, render_pdf(report, {}), signers, by=request.user, address_of=_address(request), **when
        )
    except AgreementError as error:
        form.add_error(None, str(error))
        return _page(request, permission, form)
    _say_sent(request, sent)
    return redirect("reports:agreement", pk=pk)


@require_GET
def agreement_issued(request: MemberRequest, pk: int) -> HttpResponse:
    rows = AgreementIssue.objects.visible_to(request.user).select_related("issued_by", "permission")
    issue = get_object_or_404(rows, pk=pk)
    context = issued_context(issue, at=now(), absolute=request.build_absolute_uri)
    return render(request, "reports/agreement_issued.html", context)


@require_GET
def agreement_pdf(request: MemberRequest, pk: int) -> HttpResponseBase:
    issue = get_object_or_404(AgreementIssue.objects.visible_to(request.user), pk=pk)
    return private_file(issue.pdf, content_type="application/pdf", filename=f"{issue.number}.pdf")


@require_POST
def request_revoke(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    row = get_object_or_404(SignatureRequest.objects.visible_to(request.user).select_related("issue"), pk=pk)
    actions.revoke_request(pk, by=request.user, at=now())
    messages.success(request, _("That address no longer opens anything."))
    return redirect("reports:agreement", pk=row.issue.permission_id)
