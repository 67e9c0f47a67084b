"""The list of finds, one find, recording, changing and withdrawing."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from finds import actions
from finds.care_page import care_shown, label_line
from finds.custody_page import ledger_context
from finds.forms import FactsForm, FindForm, LinkForm, PhotosForm, WithdrawForm
from finds.from_hole import from_hole
from finds.incident_page import stops_of_finds
from finds.models import Find, FindNumber
from finds.points import shown_to
from finds.record_page import associated_with, described, may_open_hole, where_it_lay
from finds.screens import find_rows, latest_screening, law_missing, reader_rights
from finds.views.said import say_saved
from hunts import maps
from hunts.models import Hunt
from hunts.stops import stops_of_hunt
from hunts.views.said import keep_for_next_time
from people.http import MemberRequest
from people.rights import Right, require
from web.paging import A_PAGE
from web.qr import qr_uri


@require_GET
def find_list(request: MemberRequest) -> HttpResponse:
    finds = Find.objects.visible_to(request.user).detailed()
    mine = request.GET.get("whose") == "mine"
    if mine:
        finds = finds.filter(finder=request.user)
    if hunt := request.GET.get("hunt", ""):
        finds = finds.filter(hunt__code=hunt)
    if wanted := request.GET.get("q", "").strip():
        finds = finds.filter(object_type__icontains=wanted)
    page = Paginator(finds, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": find_rows(page, request.user),
        "mine": mine,
        "hunt": hunt,
        "wanted": wanted,
        "may_see_numbers": request.user.holds(Right.SEE_ALL_FINDS),
        "may_record": request.user.holds(Right.LOG_HOLES),
        "may_see_locked": mine or request.user.holds(Right.SEE_LOCKED_FINDSPOTS),
    }
    return render(request, "finds/list.html", context)


@require_http_methods(["GET", "POST"])
def record(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.LOG_HOLES)
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    initial = from_hole(hunt, request.GET.get("hole"), request.user)
    form = FindForm(
        request.POST or None, request.FILES or None, hunt=hunt, by=request.user, at=now(), initial=initial
    )
    if request.method == "POST" and form.is_valid():
        try:
            find = actions.record_find(
                hunt.pk,
                by=request.user,
                at=now(),
                client_id=form.cleaned_data["client_id"],
                materials=form.cleaned_data["materials_found"],
                photos=form.prepared_photos(),
                **form.record_fields(),
            )
        except actions.FindDateError as error:
            form.add_error("found_at", str(error))
        except actions.NotOnHuntError as error:
            form.add_error("finder", str(error))
        else:
            say_saved(request, form)
            return redirect("finds:detail", pk=find.pk)
    keep_for_next_time(request, form)
    context = {"form": form, "hunt": hunt, "stops": stops_of_hunt(hunt), "features": maps.ground(hunt)}
    return render(request, "finds/record.html", context)


@require_GET
def detail(request: MemberRequest, pk: int) -> HttpResponse:
    find = get_object_or_404(Find.objects.visible_to(request.user).detailed(), pk=pk)
    point = shown_to(find, request.user, at=now(), where="find page")
    context = {
        "find": find,
        "stops": stops_of_finds([find], request.user),
        "point": point,
        "place": where_it_lay(find, point),
        "may_open_hole": may_open_hole(find, request.user),
        "screening": latest_screening(find, request.user),
        "law_missing": law_missing(find),
        "described": described(find),
        "links": associated_with(find, request.user),
        "link_form": LinkForm(auto_id="link-%s"),
        "care": care_shown(find),
        "photos": find.photos.all(),
        "photos_form": PhotosForm(),
        **ledger_context(find, request.user),
        "cases": find.cases.all() if reader_rights(find, request.user)["may_see_case"] else [],
        **reader_rights(find, request.user),
    }
    return render(request, "finds/detail.html", context)


@require_http_methods(["GET", "POST"])
def edit(request: MemberRequest, pk: int) -> HttpResponse:
    find = get_object_or_404(Find.objects.visible_to(request.user).select_related("hunt"), pk=pk)
    if not reader_rights(find, request.user)["may_change"]:
        require(request.user, Right.SEE_ALL_FINDS)
    form = FindForm(
        request.POST or None, request.FILES or None, instance=find, hunt=find.hunt, by=request.user, at=now()
    )
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_find(
                pk,
                by=request.user,
                at=now(),
                materials=form.cleaned_data["materials_found"],
                photos=form.prepared_photos(),
                taken_back_why=form.cleaned_data["taken_back_why"],
                **form.record_fields(),
            )
        except actions.FindDateError as error:
            form.add_error("found_at", str(error))
        except actions.DrillStandsError as error:
            form.ask_why(error)
        else:
            say_saved(request, form)
            return redirect("finds:detail", pk=pk)
    keep_for_next_time(request, form)
    context = {"form": form, "hunt": find.hunt, "find": find, "features": maps.ground(find.hunt)}
    return render(request, "finds/record.html", context)


@require_http_methods(["GET", "POST"])
def facts(request: MemberRequest, pk: int) -> HttpResponse:
    """The questions the law asks about this find, and what the answers would change."""
    find = get_object_or_404(Find.objects.visible_to(request.user).detailed(), pk=pk)
    if not reader_rights(find, request.user)["may_change"]:
        require(request.user, Right.SEE_ALL_FINDS)
    screening = latest_screening(find, request.user)
    asked = screening.asked if screening else []
    form = FactsForm(request.POST or None, asked=asked, stored=find.facts)
    if request.method == "POST" and form.is_valid():
        why = form.cleaned_data["taken_back_why"]
        try:
            actions.answer_facts(pk, by=request.user, at=now(), answers=form.answers(), taken_back_why=why)
        except actions.DrillStandsError as error:
            form.ask_why(error)
        else:
            messages.success(request, _("Your answers are kept and the find was screened again."))
            return redirect("finds:detail", pk=pk)
    return render(request, "finds/facts.html", {"form": form, "find": find, "screening": screening})


@require_http_methods(["GET", "POST"])
def withdraw(request: MemberRequest, pk: int) -> HttpResponse:
    find = get_object_or_404(Find.objects.visible_to(request.user), pk=pk)
    if find.finder_id != request.user.pk:
        require(request.user, Right.VOID_FINDS)
    form = WithdrawForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actions.withdraw_find(pk, by=request.user, at=now(), why=form.cleaned_data["why"])
        messages.success(
            request,
            _("%(find_number)s is withdrawn. The number stays used, with your reason.")
            % {"find_number": find.number},
        )
        return redirect("finds:list")
    return render(request, "finds/withdraw.html", {"form": form, "find": find})


@require_GET
def numbers(request: MemberRequest) -> HttpResponse:
    """Every number without a live find, and why."""
    require(request.user, Right.SEE_ALL_FINDS)
    gaps = FindNumber.objects.gaps().select_related("void_by", "find")
    return render(
        request, "finds/numbers.html", {"page": Paginator(gaps, A_PAGE).get_page(request.GET.get("page"))}
    )


@require_GET
def labels(request: MemberRequest, pk: int) -> HttpResponse:
    """A sheet of bag labels for one's finds of a hunt: number, object and code, and no findspot."""
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    finds = Find.objects.visible_to(request.user).filter(hunt=hunt).order_by("number")
    if not (request.user.pk == hunt.leader_id or request.user.holds(Right.SEE_ALL_FINDS)):
        finds = finds.filter(finder=request.user)
    finds = finds.select_related("finder").prefetch_related("materials")
    rows = [{"find": find, "qr": qr_uri(find.number), "care": label_line(find)} for find in finds]
    return render(request, "finds/labels.html", {"hunt": hunt, "rows": rows})
