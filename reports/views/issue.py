"""Previews of the four reports, issuing them, and what was issued."""

from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.views.decorators.http import require_GET, require_POST

from hunts.models import Hunt
from people.http import MemberRequest
from people.rights import Right, require
from permissions.models import Landholder
from reports import actions
from reports.actions import IssuedMeanwhileError, issue_report
from reports.content import from_data
from reports.drafts import draft_for_hunt, landholders_of, photos_of
from reports.heritage_page import issued_context
from reports.models import IssuedReport, Kind
from reports.pdf import render_pdf
from reports.photos import club_photo_urls
from reports.views.visit import TO_LANDHOLDERS, check_kept, landholder_address, say_issued
from web.files import private_file
from web.paging import A_PAGE


def _chosen(request: MemberRequest, hunt: Hunt) -> tuple[list[Landholder], Landholder | None]:
    """The landholders of the hunt and the one asked for (the first unless said); 404 for one who is not of it."""
    people = landholders_of(hunt)
    wanted = request.POST.get("landholder") or request.GET.get("landholder")
    if not wanted:
        return people, people[0] if people else None
    chosen = next((person for person in people if str(person.pk) == wanted), None)
    if chosen is None:
        raise Http404("Nobody with this number has a say over the land of this hunt.")
    return people, chosen


def _going_back(request: MemberRequest, hunt: Hunt, chosen: Landholder | None) -> dict[str, str]:
    """Where the objects of the statement are handed over, for those who may."""
    if not request.user.holds(Right.MOVE_CUSTODY):
        return {}
    found = {"hand_over": reverse("finds:hand_over_new")}
    if chosen is not None and request.user.holds(Right.SEE_LANDHOLDERS):
        time = urlencode({"since": hunt.on, "until": hunt.on})
        found["statement"] = f"{reverse('reports:returning', args=[chosen.pk])}?{time}"
    return found


@require_GET
def preview(request: MemberRequest, kind: str, pk: int) -> HttpResponse:
    require(request.user, Right.ISSUE_REPORTS)
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    check_kept(hunt, kind)
    people, chosen = _chosen(request, hunt)
    report = draft_for_hunt(Kind(kind), hunt, chosen, on=localdate()).report
    context = {
        "report": report,
        "photo_urls": club_photo_urls(report),
        "people": people,
        "chosen": chosen,
        "hunt": hunt,
        "kind": kind,
        "kinds": [Kind.RETURNS] if hunt.is_past_outing else [Kind.VISIT, Kind.HOLES, Kind.RETURNS],
        "issued": IssuedReport.objects.visible_to(request.user).filter(hunt=hunt, kind=kind),
        "issue_url": reverse("reports:issue", args=[kind, pk]),
        "going_back": _going_back(request, hunt, chosen) if kind == Kind.RETURNS else {},
    }
    return render(request, "reports/preview.html", context)


@require_POST
def issue(request: MemberRequest, kind: str, pk: int) -> HttpResponse:
    require(request.user, Right.ISSUE_REPORTS)
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    if kind not in TO_LANDHOLDERS:
        raise Http404
    check_kept(hunt, kind)
    _given, chosen = _chosen(request, hunt)
    draft = draft_for_hunt(Kind(kind), hunt, chosen, on=localdate())
    pdf = render_pdf(draft.report, photos_of(draft.report))
    try:
        row = issue_report(
            Kind(kind),
            draft,
            pdf,
            hunt=hunt,
            landholder=chosen,
            by=request.user,
            at=now(),
            address_of=landholder_address(request),
        )
    except IssuedMeanwhileError as error:
        messages.error(request, str(error))
        return redirect(f"reports:{kind}", pk=pk)
    say_issued(request, [row])
    return redirect("reports:issued", pk=row.pk)


@require_GET
def issued_list(request: MemberRequest) -> HttpResponse:
    if not request.user.holds(Right.ISSUE_HERITAGE_REPORTS):
        require(request.user, Right.ISSUE_REPORTS)
    rows = IssuedReport.objects.visible_to(request.user).select_related("issued_by", "hunt", "case")
    page = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "may_issue": request.user.holds(Right.ISSUE_REPORTS)}
    return render(request, "reports/issued_list.html", context)


@require_GET
def issued(request: MemberRequest, pk: int) -> HttpResponse:
    row = _seen(request, pk, "issued report")
    report = from_data(row.content)
    context = {"row": row, "report": report, "photo_urls": club_photo_urls(report)}
    return render(request, "reports/issued.html", context | issued_context(row))


@require_GET
def issued_pdf(request: MemberRequest, pk: int) -> HttpResponseBase:
    row = _seen(request, pk, "issued report, PDF")
    return private_file(row.pdf, content_type="application/pdf", filename=f"{row.number}.pdf")


def _seen(request: MemberRequest, pk: int, where: str) -> IssuedReport:
    """The issued report; each look at one that gives locked findspots is recorded."""
    rows = IssuedReport.objects.visible_to(request.user).select_related("issued_by", "case")
    row = get_object_or_404(rows, pk=pk)
    actions.report_seen(row, by=request.user, at=now(), where=where)
    return row
