"""Associated finds: said and taken back on a find's page."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from finds import actions
from finds.forms import LinkForm
from finds.models import Find
from people.http import MemberRequest


@require_POST
def link_add(request: MemberRequest, pk: int) -> HttpResponse:
    find = get_object_or_404(Find.objects.visible_to(request.user), pk=pk)
    form = LinkForm(request.POST)
    if form.is_valid():
        try:
            actions.link_finds(find.pk, by=request.user, at=now(), **form.cleaned_data)
        except actions.LinkError as error:
            messages.error(request, str(error))
    else:
        messages.error(request, _("Give the number of the other find and say how the two belong together."))
    return redirect("finds:detail", pk=find.pk)


@require_POST
def link_remove(request: MemberRequest, pk: int, link: int) -> HttpResponse:
    find = get_object_or_404(Find.objects.visible_to(request.user), pk=pk)
    actions.unlink_finds(link, find.pk, by=request.user, at=now())
    return redirect("finds:detail", pk=find.pk)
