"""Consents: recorded, withdrawn, and the file that shows them."""

from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people.http import MemberRequest
from people.rights import Right, require
from permissions import actions
from permissions.evidence import content_type_of
from permissions.forms import ConsentForm, WithdrawForm
from permissions.models import Consent, Permission
from permissions.views._page import complain, form_page, say
from web.files import private_file


def _consent(request: MemberRequest, pk: int) -> Consent:
    return get_object_or_404(Consent, pk=pk, permission__in=Permission.objects.visible_to(request.user))


@require_http_methods(["GET", "POST"])
def consent_add(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    permission = get_object_or_404(Permission.objects.visible_to(request.user), pk=pk)
    back = reverse("permissions:permission_detail", args=[pk])
    initial = {"starts": permission.starts, "ends": permission.ends}
    posted = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = ConsentForm(*posted, permission=permission, user=request.user, today=localdate(), initial=initial)
    if request.method == "POST" and form.is_valid():
        actions.add_consent(permission, by=request.user, at=now(), **form.cleaned_data)
        say(request, _("The consent is recorded."))
        return redirect(back)
    return form_page(
        request, form, _("Consent to %(permission)s") % {"permission": permission}, back, upload=True
    )


@require_http_methods(["GET", "POST"])
def consent_edit(request: MemberRequest, pk: int) -> HttpResponse:
    consent = _consent(request, pk)
    require(request.user, Right.MANAGE_PERMISSIONS)
    permission = consent.permission
    back = reverse("permissions:permission_detail", args=[permission.pk])
    posted = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = ConsentForm(*posted, instance=consent, permission=permission, user=request.user, today=localdate())
    if request.method == "POST" and form.is_valid():
        fields = {key: value for key, value in form.cleaned_data.items() if key != "client_id"}
        actions.correct_consent(pk, by=request.user, at=now(), **fields)
        say(request, _("The consent is put right."))
        return redirect(back)
    return form_page(
        request, form, _("Consent to %(permission)s") % {"permission": permission}, back, upload=True
    )


@require_POST
def consent_withdraw(request: MemberRequest, pk: int) -> HttpResponse:
    consent = _consent(request, pk)
    require(request.user, Right.MANAGE_PERMISSIONS)
    form = WithdrawForm(request.POST)
    if form.is_valid():
        actions.withdraw_consent(pk, by=request.user, at=now(), on=form.cleaned_data["on"])
        say(request, _("The consent is withdrawn, and the gate goes by it at once."))
    else:
        complain(request, form)
    return redirect("permissions:permission_detail", pk=consent.permission_id)


@require_GET
def consent_evidence(request: MemberRequest, pk: int) -> FileResponse:
    consent = _consent(request, pk)
    require(request.user, Right.SEE_LANDHOLDERS)
    if not consent.evidence_file:
        raise Http404(_("There is no file with this consent."))
    kind = content_type_of(consent.evidence_file.name or "")
    return private_file(consent.evidence_file.open("rb"), content_type=kind, filename=consent.evidence_name)
