"""Where everything is now, and hand-overs from proposal to receipt."""

from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds import actions
from finds.custody_page import counts, hand_over_context, sign_form, where_rows, where_shown
from finds.forms import CustodyForm
from finds.forms.custody import (
    AddressForm,
    AnswerForm,
    ConditionPhotosForm,
    EvidenceForm,
    HandOverForm,
    LossForm,
    ReceiveForm,
    WhereForm,
    WhyForm,
)
from finds.forms.pairs import numbers_in
from finds.hand_over_links import hand_over_key
from finds.hand_over_text import items_of
from finds.models import ConditionPhoto, Find, HandOver, HandOverItem, HandOverLink
from people.http import MemberRequest
from people.rights import Right, require
from web.files import private_file
from web.paging import A_PAGE


@require_GET
def custody_list(request: MemberRequest) -> HttpResponse:
    """Where is it now? Every find that the reader may see, with whoever holds it."""
    today = localdate()
    form = WhereForm(request.GET)
    asked = form.cleaned_data if form.is_valid() else {}
    page = Paginator(where_rows(request.user, asked, today), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "page": page,
        "rows": where_shown(page, request.user, today),
        "counts": counts(request.user, today),
        "may_move": request.user.holds(Right.MOVE_CUSTODY),
        "waiting": HandOver.objects.visible_to(request.user).waiting()[:20],
    }
    return render(request, "finds/custody_list.html", context)


@require_http_methods(["GET", "POST"])
def hand_over_new(request: MemberRequest) -> HttpResponse:
    """Propose to hand over one or several objects; the receiver's signature moves them."""
    if not request.user.holds(Right.MOVE_CUSTODY):
        require(request.user, Right.LOG_HOLES)
    named = request.POST.get("numbers", "") or ",".join(request.GET.getlist("numbers"))
    numbers = numbers_in(named)
    finds = list(Find.objects.visible_to(request.user).filter(number__in=numbers).order_by("number"))
    initial = {"numbers": ", ".join(numbers)}
    form = HandOverForm(request.POST or None, finds=finds, today=localdate(), initial=initial)
    if request.method == "POST" and form.is_valid():
        if strange := sorted(set(numbers) - {find.number for find in finds}):
            form.add_error(
                "numbers",
                _("There is no find %(strange)s that you may see; look at the bag.")
                % {"strange": ", ".join(strange)},
            )
        else:
            try:
                ids = [find.pk for find in finds]
                row = actions.propose_hand_over(ids, by=request.user, at=now(), **form.details())
            except (actions.CustodyError, PermissionDenied) as error:
                form.add_error(None, str(error))
            else:
                return redirect("finds:hand_over", pk=row.pk)
    return render(request, "finds/hand_over_new.html", {"form": form, "finds": finds})


def _row(request: MemberRequest, pk: int) -> HandOver:
    return get_object_or_404(HandOver.objects.visible_to(request.user), pk=pk)


def _page(request: MemberRequest, row: HandOver, **forms: Any) -> HttpResponse:
    context = hand_over_context(row, request.user, at=now(), **forms)
    context["addresses"] = [
        {
            "link": link,
            "url": request.build_absolute_uri(reverse("finds:receive", args=[hand_over_key(link)])),
        }
        for link in context.get("addresses", [])
    ]
    return render(request, "finds/hand_over.html", context)


@require_GET
def hand_over(request: MemberRequest, pk: int) -> HttpResponse:
    return _page(request, _row(request, pk))


@require_POST
def hand_over_sign(request: MemberRequest, pk: int, side: str) -> HttpResponse:
    row = _row(request, pk)
    form = sign_form(row, items_of(row), side, request.POST)
    name = "receive_form" if side == "receiver" else "give_form"
    if not form.is_valid():
        return _page(request, row, **{name: form})
    values = {n: form.cleaned_data[n] for n in ("client_id", "name", "read_sha256", "drawn")}
    said = form.received() if isinstance(form, ReceiveForm) else {}
    try:
        actions.sign_hand_over(pk, side, by=request.user, via="", at=now(), **values, **said)
    except actions.CustodyError as error:
        messages.error(request, str(error))
    return redirect("finds:hand_over", pk=pk)


@require_POST
def hand_over_done(request: MemberRequest, pk: int) -> HttpResponse:
    row = _row(request, pk)
    require(request.user, Right.MOVE_CUSTODY)
    form = EvidenceForm(request.POST, auto_id="done-%s")
    if not form.is_valid():
        return _page(request, row, evidence_form=form)
    try:
        actions.complete_hand_over(pk, by=request.user, at=now(), evidence=form.cleaned_data["evidence"])
    except actions.CustodyError as error:
        messages.error(request, str(error))
    return redirect("finds:hand_over", pk=pk)


@require_POST
def hand_over_end(request: MemberRequest, pk: int, how: str) -> HttpResponse:
    """The receiver refuses it (said to the club), or the club takes it back."""
    row = _row(request, pk)
    form = WhyForm(request.POST, auto_id=f"{how}-%s")
    if not form.is_valid():
        return _page(request, row, **{f"{how}_form": form})
    why = form.cleaned_data["why"]
    try:
        if how == "refuse":
            actions.refuse_hand_over(pk, by=request.user, via="", at=now(), why=why)
        else:
            actions.cancel_hand_over(pk, by=request.user, at=now(), why=why)
    except actions.CustodyError as error:
        messages.error(request, str(error))
    return redirect("finds:hand_over", pk=pk)


@require_POST
def hand_over_address(request: MemberRequest, pk: int) -> HttpResponse:
    row = _row(request, pk)
    form = AddressForm(request.POST, auto_id="address-%s")
    if not form.is_valid():
        return _page(request, row, address_form=form)
    values = form.cleaned_data
    until = now() + timedelta(days=values["days"])
    once = {"client_id": values["client_id"], "expires_at": until}
    try:
        actions.make_hand_over_link(pk, values["side"], by=request.user, at=now(), **once)
    except actions.CustodyError as error:
        messages.error(request, str(error))
    return redirect("finds:hand_over", pk=pk)


@require_POST
def address_end(request: MemberRequest, pk: int) -> HttpResponse:
    rows = HandOver.objects.visible_to(request.user)
    link = get_object_or_404(HandOverLink, pk=pk, hand_over__in=rows)
    actions.revoke_hand_over_link(pk, by=request.user, at=now())
    return redirect("finds:hand_over", pk=link.hand_over_id)


@require_POST
def condition_add(request: MemberRequest, pk: int) -> HttpResponse:
    item = get_object_or_404(HandOverItem, pk=pk, hand_over__in=HandOver.objects.visible_to(request.user))
    form = ConditionPhotosForm(request.POST, request.FILES, auto_id="photo-%s")
    if form.is_valid():
        values = form.cleaned_data
        actions.add_condition_photos(pk, values["stage"], values["photos"], by=request.user, at=now())
    for error in form.errors.get("photos", []):
        messages.error(request, str(error))
    return redirect("finds:hand_over", pk=item.hand_over_id)


@require_GET
def condition_photo(request: MemberRequest, pk: int) -> HttpResponseBase:
    rows = HandOver.objects.visible_to(request.user)
    row = get_object_or_404(ConditionPhoto, pk=pk, item__hand_over__in=rows)
    return private_file(row.display, content_type="image/jpeg", filename=f"condition-{row.pk}.jpg")


@require_POST
def missing_answer(request: MemberRequest, pk: int) -> HttpResponse:
    item = get_object_or_404(HandOverItem, pk=pk, hand_over__in=HandOver.objects.visible_to(request.user))
    require(request.user, Right.MOVE_CUSTODY)
    form = AnswerForm(request.POST, auto_id=False)
    if form.is_valid():
        actions.answer_missing(pk, by=request.user, at=now(), words=form.cleaned_data["words"])
    for error in form.errors.get("words", []):
        messages.error(request, str(error))
    return redirect("finds:hand_over", pk=item.hand_over_id)


@require_POST
def custody_add(request: MemberRequest, pk: int) -> HttpResponse:
    find = get_object_or_404(Find.objects.visible_to(request.user), pk=pk)
    form = CustodyForm(request.POST)
    if form.is_valid():
        try:
            actions.hand_over(pk, by=request.user, at=now(), **form.cleaned_data)
        except actions.CustodyError as error:
            form.add_error(None, str(error))
        else:
            return redirect("finds:detail", pk=pk)
    return render(request, "finds/custody.html", {"form": form, "find": find})


@require_http_methods(["GET", "POST"])
def loss(request: MemberRequest, pk: int) -> HttpResponse:
    """Record that an object is lost or was reburied, as what it is."""
    find = get_object_or_404(Find.objects.visible_to(request.user), pk=pk)
    if request.user.pk != find.finder_id:
        require(request.user, Right.MOVE_CUSTODY)
    last = find.custody.order_by("-step").first()
    initial = {"after_step": last.step if last else 0}
    form = LossForm(request.POST or None, today=localdate(), initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            actions.record_loss(pk, by=request.user, at=now(), **form.cleaned_data)
        except actions.CustodyError as error:
            form.add_error(None, str(error))
        else:
            return redirect("finds:detail", pk=pk)
    return render(request, "finds/loss.html", {"form": form, "find": find})
