"""The leader's part of a visit report, and issuing one report to everybody who has a say over the land."""

from collections.abc import Callable

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from hunts.errors import HuntError
from hunts.models import Hunt
from people.http import MemberRequest
from people.rights import Right, require
from permissions.models import Landholder
from reports import actions
from reports.actions import IssuedMeanwhileError, issue_report
from reports.drafts import draft_for_hunt, landholders_of, photos_of
from reports.models import IssuedReport, Kind, VisitDraft
from reports.pdf import render_pdf
from reports.visit_forms import VisitDraftForm
from reports.visit_mail import may_be_told

TO_LANDHOLDERS = frozenset({Kind.VISIT, Kind.HOLES, Kind.RETURNS})


def check_kept(hunt: Hunt, kind: str) -> None:
    """Of a past outing nobody kept people, hours and holes, so no report tells of them. Raises Http404."""
    if hunt.is_past_outing and kind != Kind.RETURNS:
        raise Http404(
            f"{hunt.code} is a past outing; there is nothing on record that this report could tell."
        )


def landholder_address(request: HttpRequest) -> Callable[[str], str]:
    """Makes the whole address of a landholder's key."""
    return lambda key: request.build_absolute_uri(reverse("reports:landholder", kwargs={"key": key}))


def _hunt(request: MemberRequest, pk: int) -> Hunt:
    require(request.user, Right.ISSUE_REPORTS)
    return get_object_or_404(Hunt.objects.visible_to(request.user).select_related("permission"), pk=pk)


@require_http_methods(["GET", "POST"])
def visit_draft(request: MemberRequest, pk: int) -> HttpResponse:
    """What the leader adds before the visit report is issued."""
    hunt = _hunt(request, pk)
    check_kept(hunt, Kind.VISIT)
    draft = VisitDraft.objects.filter(hunt=hunt).first()
    form = VisitDraftForm(request.POST or None, hunt=hunt, draft=draft)
    if request.method == "POST" and form.is_valid():
        try:
            actions.save_visit_draft(pk, by=request.user, at=now(), **form.cleaned_data)
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("Kept. Read the report as it will be sent, then issue it."))
            return redirect("reports:visit", pk=pk)
    return render(request, "reports/visit_draft.html", {"hunt": hunt, "form": form})


@require_POST
def issue_all(request: MemberRequest, kind: str, pk: int) -> HttpResponse:
    """Issue one kind of report to each landholder of the hunt; what says the same as before is not issued again."""
    hunt = _hunt(request, pk)
    if kind not in TO_LANDHOLDERS:
        raise Http404
    check_kept(hunt, kind)
    try:
        rows = [_issue(request, Kind(kind), hunt, person) for person in landholders_of(hunt)]
    except IssuedMeanwhileError as error:
        messages.error(request, str(error))
    else:
        say_issued(request, rows)
    return redirect(f"reports:{kind}", pk=pk)


def _issue(request: MemberRequest, kind: Kind, hunt: Hunt, person: Landholder) -> IssuedReport:
    draft = draft_for_hunt(kind, hunt, person, on=localdate())
    pdf = render_pdf(draft.report, photos_of(draft.report))
    return issue_report(
        kind,
        draft,
        pdf,
        hunt=hunt,
        landholder=person,
        by=request.user,
        at=now(),
        address_of=landholder_address(request),
    )


def say_issued(request: MemberRequest, rows: list[IssuedReport]) -> None:
    """Which reports are frozen, who is told by e-mail, and whom somebody has to give it by hand."""
    if not rows:
        messages.error(
            request, _("Nobody is recorded with a say over this land on that day, so nobody was sent it.")
        )
        return
    messages.success(
        request, _("Issued and frozen: %(rows)s.") % {"rows": ", ".join(row.number for row in rows)}
    )
    _say_not_sent(request, [row for row in rows if not may_be_told(row.landholder, row.issued_at)])


def _say_not_sent(request: MemberRequest, rows: list[IssuedReport]) -> None:
    """Who gets no e-mail, and whether the address or the private link is what lacks."""
    with_address = [row.recipient for row in rows if row.landholder and row.landholder.email]
    without = [row.recipient for row in rows if row.recipient not in with_address]
    if without:
        words = _("No e-mail goes to %(people)s: no address is recorded. Hand over the PDF.")
        messages.info(request, words % {"people": ", ".join(without)})
    if with_address:
        words = _(
            "No e-mail goes to %(people)s: there is no private link yet. Make one, or hand over the PDF."
        )
        messages.info(request, words % {"people": ", ".join(with_address)})
