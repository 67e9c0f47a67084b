"""Reports on a season, whom to thank for it, and what to renew."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds.forms.filters import season_of, season_words
from people.http import MemberRequest
from people.rights import Right, require
from permissions.models import Landholder
from reports import actions
from reports.actions import IssuedMeanwhileError, issue_report
from reports.build.year import to_renew
from reports.drafts import photos_of
from reports.models import IssuedReport, Kind
from reports.pdf import render_pdf
from reports.views.visit import landholder_address, say_issued
from reports.visit_forms import ThanksForm
from reports.year_page import draft_for_year, seasons, thanked_people, thanks_context

EARLIEST = 1900


def _chosen(request: MemberRequest, year: int) -> tuple[list[Landholder], Landholder | None]:
    """The landholders whose land was visited, for those who may see them, and the one asked for; none: the club."""
    require(request.user, Right.ISSUE_REPORTS)
    if not EARLIEST <= year <= season_of(localdate()):
        raise Http404(f"The season {year} has not begun.")
    wanted = request.POST.get("landholder") or request.GET.get("landholder")
    if wanted:
        require(request.user, Right.SEE_LANDHOLDERS)
    people = thanked_people(year) if request.user.holds(Right.SEE_LANDHOLDERS) else []
    chosen = next((person for person in people if str(person.pk) == wanted), None)
    if wanted and chosen is None:
        raise Http404("Nobody with this number had land that was searched in this season.")
    return people, chosen


@require_GET
def year_now(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.ISSUE_REPORTS)
    return redirect("reports:year", year=season_of(localdate()))


@require_GET
def year(request: MemberRequest, year: int) -> HttpResponse:
    people, chosen = _chosen(request, year)
    issued = IssuedReport.objects.visible_to(request.user).filter(kind=Kind.YEAR, year=year)
    context = {
        "report": draft_for_year(year, chosen, on=localdate()).report,
        "photo_urls": {},
        "year": year,
        "seasons": seasons(localdate()),
        "people": people,
        "chosen": chosen,
        "issued": issued,
        "issue_url": reverse("reports:issue_year", args=[year]),
        "may_thank": request.user.holds(Right.SEE_LANDHOLDERS),
    }
    return render(request, "reports/year.html", context)


@require_POST
def issue_year(request: MemberRequest, year: int) -> HttpResponse:
    _rest, chosen = _chosen(request, year)
    draft = draft_for_year(year, chosen, on=localdate())
    pdf = render_pdf(draft.report, photos_of(draft.report))
    try:
        row = issue_report(
            Kind.YEAR,
            draft,
            pdf,
            year=year,
            landholder=chosen,
            by=request.user,
            at=now(),
            address_of=landholder_address(request),
        )
    except IssuedMeanwhileError as error:
        messages.error(request, str(error))
        return redirect("reports:year", year=year)
    if chosen is None:
        messages.success(request, _("%(row_number)s is issued and frozen.") % {"row_number": row.number})
    else:
        say_issued(request, [row])
    return redirect("reports:issued", pk=row.pk)


@require_GET
def thanks(request: MemberRequest, year: int) -> HttpResponse:
    """Whom to thank and what for, address labels, and permissions to renew."""
    require(request.user, Right.SEE_LANDHOLDERS)
    _chosen(request, year)
    context = thanks_context(year) | {"renew": to_renew(localdate())}
    return render(request, "reports/thanks.html", context)


@require_http_methods(["GET", "POST"])
def thank(request: MemberRequest, year: int, pk: int) -> HttpResponse:
    """Write down with what somebody was thanked."""
    require(request.user, Right.SEE_LANDHOLDERS)
    _chosen(request, year)
    landholder = get_object_or_404(Landholder.objects.visible_to(request.user), pk=pk)
    form = ThanksForm(request.POST or None, today=localdate())
    if request.method == "POST" and form.is_valid():
        actions.thank_landholder(landholder, year, by=request.user, at=now(), **form.cleaned_data)
        messages.success(
            request, _("Kept: %(landholder_name)s has been thanked.") % {"landholder_name": landholder.name}
        )
        return redirect("reports:thanks", year=year)
    context = {"landholder": landholder, "year": year, "season": season_words(year), "form": form}
    return render(request, "reports/thank.html", context)
