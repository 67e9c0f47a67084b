"""The law as this program knows it, and what changes when it changes."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from finds import actions
from finds.law_page import pack_context, packs_in_force
from finds.models import RescreenedFind, Rescreening
from finds.pack_change import look_at, out_of_date, waiting_finds
from law.pack import UnknownJurisdictionError
from people.http import MemberRequest
from people.rights import Right, require
from web.paging import A_PAGE

LOOKED_AT = 200
AT_ONCE = (
    300  # finds screened again by one press of the button; the rest by the next press, or by the command
)


@require_GET
def pack_list(request: MemberRequest) -> HttpResponse:
    may_review = request.user.holds(Right.REVIEW_CASES)
    here, others, without = packs_in_force()
    context = {
        "here": here,
        "others": others,
        "without": without,
        "may_review": may_review,
        "waiting": waiting_finds() if may_review else [],
        "runs": Rescreening.objects.select_related("by")[:20] if may_review else [],
    }
    return render(request, "finds/pack_list.html", context)


@require_GET
def pack_detail(request: MemberRequest, code: str) -> HttpResponse:
    try:
        context = pack_context(code)
    except UnknownJurisdictionError as error:
        raise Http404(str(error)) from error
    return render(request, "finds/pack_detail.html", context)


@require_http_methods(["GET", "POST"])
def pack_change(request: MemberRequest) -> HttpResponse:
    """GET: what screening again would change, keeping nothing. POST: keep the answers, so many finds at a time."""
    require(request.user, Right.REVIEW_CASES)
    if request.method == "POST":
        return _keep(request)
    finds = out_of_date().select_related("site").order_by("pk")
    page = Paginator(finds, LOOKED_AT).get_page(request.GET.get("page"))
    looks = look_at(list(page.object_list), at=now())
    context = {
        "waiting": waiting_finds(),
        "page": page,
        "looked": len(looks),
        "looks": [look for look in looks if look.changes],
        "at_once": AT_ONCE,
        "many": page.paginator.count > AT_ONCE,
    }
    return render(request, "finds/pack_change.html", context)


def _keep(request: MemberRequest) -> HttpResponse:
    run = actions.start_rescreening(by=request.user, at=now())
    if run is None:
        messages.info(
            request, _("Every find was judged by the rules in force; there was nothing left to do.")
        )
        return redirect("finds:pack_list")
    for _rest in range(AT_ONCE // actions.BATCH):
        if not actions.rescreen_batch(run.pk, by=request.user, at=now()):
            break
    return redirect("finds:pack_run", pk=run.pk)


@require_GET
def pack_run(request: MemberRequest, pk: int) -> HttpResponse:
    """What one rescreening did: who, when, from which packs to which, and every find that changed."""
    require(request.user, Right.REVIEW_CASES)
    run = get_object_or_404(Rescreening.objects.select_related("by"), pk=pk)
    lines = RescreenedFind.objects.filter(run=run)
    changed = lines.filter(changed=True).select_related("find")
    context = {
        "run": run,
        "screened": lines.count(),
        "changed": changed.count(),
        "page": Paginator(changed, A_PAGE).get_page(request.GET.get("page")),
        "left": 0 if run.finished_at else out_of_date().count(),
    }
    return render(request, "finds/pack_run.html", context)
