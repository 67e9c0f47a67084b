"""A landholder withdraws consent on the private page."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from permissions.models import LandholderLink
from reports import actions
from reports.agreement_page import consented, withdraw_form, withdrawable
from reports.landholder_page import page_context
from reports.views.link_door import by_link


@by_link
@require_POST
def landholder_withdraw(request: HttpRequest, link: LandholderLink, key: str, pk: int) -> HttpResponse:
    permission = get_object_or_404(consented(link.landholder), pk=pk)
    form = withdraw_form(pk, request.POST)
    if not form.is_valid():
        shown = withdrawable(link.landholder, localdate(), tried={pk: form})
        context = page_context(link.landholder, key, at=now()) | {"withdrawable": shown}
        return render(request, "reports/landholder.html", context)
    actions.landholder_withdraws(link, permission, via="link", at=now(), **form.cleaned_data)
    messages.success(
        request,
        _("Your consent is withdrawn from now. Nobody searches under it; everybody signed up is told."),
    )
    return redirect("reports:landholder", key=key)
