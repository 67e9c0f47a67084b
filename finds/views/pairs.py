"""Pairs that may be one find: the committee's list, one pair and its decisions, the finder's word."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds import actions
from finds.forms import AnswerForm, PairForm, TogetherForm
from finds.models import Find, PairSuggestion
from finds.pair_page import DECISIONS, own_and_other, pair_context, pair_row, said_of, with_finds
from people.http import MemberRequest
from people.rights import Right, require

ACTIONS = {"same": actions.decide_same, "apart": actions.decide_apart, "ask": actions.ask_finder}


@require_GET
def pair_list(request: MemberRequest) -> HttpResponse:
    """Pairs worth looking at, the most telling first; or what was decided about others."""
    require(request.user, Right.REVIEW_CASES)
    decided = request.GET.get("show") == "decided"
    pairs = PairSuggestion.objects.visible_to(request.user)
    pairs = pairs.decided() if decided else pairs.to_look_at()
    page = Paginator(with_finds(pairs), 25).get_page(request.GET.get("page"))
    context = {"page": page, "rows": [pair_row(pair) for pair in page], "decided": decided}
    return render(request, "finds/pairs.html", context)


@require_GET
def pair_detail(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.REVIEW_CASES)
    pair = get_object_or_404(with_finds(PairSuggestion.objects.visible_to(request.user)), pk=pk)
    return render(request, "finds/pair.html", pair_context(pair))


@require_POST
def pair_decide(request: MemberRequest, pk: int, how: str) -> HttpResponse:
    require(request.user, Right.REVIEW_CASES)
    pair = get_object_or_404(with_finds(PairSuggestion.objects.visible_to(request.user)), pk=pk)
    if how not in DECISIONS:
        raise Http404
    form = PairForm(request.POST, label=_(DECISIONS[how][1]), auto_id=f"{how}-%s")
    if not form.is_valid():
        return render(request, "finds/pair.html", pair_context(pair, {how: form}))
    try:
        ACTIONS[how](pk, by=request.user, at=now(), **form.cleaned_data)
    except (actions.PairError, actions.GroupError) as error:
        messages.error(request, str(error))
        return redirect("finds:pair_detail", pk=pk)
    messages.success(request, _("%(pair)s: kept with your reasons.") % {"pair": pair})
    return redirect("finds:pair_list")


@require_http_methods(["GET", "POST"])
def pair_answer(request: MemberRequest, pk: int) -> HttpResponse:
    """A finder answers what the committee asked; of the other find they see what they may see anyway."""
    pair = get_object_or_404(PairSuggestion.objects.visible_to(request.user).asked_of(request.user), pk=pk)
    form = AnswerForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.answer_pair(pk, by=request.user, at=now(), words=form.cleaned_data["words"])
        except actions.PairError as error:
            messages.error(request, str(error))
        else:
            messages.success(request, _("The committee has your answer."))
        return redirect("finds:list")
    return render(
        request, "finds/pair_answer.html", own_and_other(pair, request.user) | {"form": form, "pair": pair}
    )


@require_http_methods(["GET", "POST"])
def together(request: MemberRequest, pk: int) -> HttpResponse:
    """A finder says which other find of theirs belongs with this one. The committee decides."""
    find = get_object_or_404(Find.objects.visible_to(request.user).filter(finder=request.user), pk=pk)
    form = TogetherForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.propose_pair(pk, by=request.user, at=now(), **form.cleaned_data)
        except actions.PairError as error:
            form.add_error("number", str(error))
        else:
            messages.success(request, _("The committee will look at it, with your words."))
            return redirect("finds:detail", pk=pk)
    return render(
        request, "finds/together.html", {"find": find, "form": form, "said": said_of(find, request.user)}
    )
