"""A person's own kit: list, one kit, bench test, readings, care."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hunts import actions
from hunts.errors import HuntError
from hunts.forms.kit import BenchForm, KitForm
from hunts.kit_facts import kit_states
from hunts.kit_pages import care_form, first_pass, kit_page, next_item
from hunts.models import BenchTest, Kit
from hunts.readings import WIDTHS, compared, scales_of
from hunts.views.said import saying_errors, sent
from people.http import MemberRequest
from people.rights import Right, require


@require_GET
def kit_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.LOG_HOLES)
    return render(request, "hunts/kit_list.html", {"states": kit_states(request.user, on=localdate())})


@require_http_methods(["GET", "POST"])
def kit_add(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.LOG_HOLES)
    form = KitForm(sent(request)[0])
    if request.method == "POST" and form.is_valid():
        once = form.cleaned_data["client_id"]
        kit = actions.add_kit(by=request.user, at=now(), client_id=once, **form.record_fields())
        messages.success(request, _("%(kit_name)s is in your kit.") % {"kit_name": kit.name})
        return redirect("hunts:kit_detail", pk=kit.pk)
    return render(request, "hunts/kit_form.html", {"form": form})


@require_GET
def kit_detail(request: MemberRequest, pk: int) -> HttpResponse:
    kit = get_object_or_404(Kit.objects.visible_to(request.user), pk=pk)
    return render(request, "hunts/kit_detail.html", kit_page(kit, request.user, on=localdate()))


@require_http_methods(["GET", "POST"])
def kit_edit(request: MemberRequest, pk: int) -> HttpResponse:
    kit = get_object_or_404(Kit.objects.visible_to(request.user), pk=pk)
    form = KitForm(sent(request)[0], instance=kit)
    if request.method == "POST" and form.is_valid():
        actions.change_kit(pk, by=request.user, at=now(), **form.record_fields())
        messages.success(request, _("The changes are saved."))
        return redirect("hunts:kit_detail", pk=pk)
    return render(request, "hunts/kit_form.html", {"form": form, "kit": kit})


@require_POST
def kit_retire(request: MemberRequest, pk: int) -> HttpResponse:
    """Put it away for good, or take it up again."""
    get_object_or_404(Kit.objects.visible_to(request.user), pk=pk)
    kit = actions.retire_kit(pk, by=request.user, at=now())
    said = _("is put away; its log is kept.") if kit.retired_on else _("is in use again.")
    messages.success(request, f"{kit.name} {said}")
    return redirect("hunts:kit_detail", pk=pk)


@require_POST
def kit_care(request: MemberRequest, pk: int, occasion: str) -> HttpResponse:
    """Tick what was done of a checklist that is due."""
    kit = get_object_or_404(Kit.objects.visible_to(request.user), pk=pk)
    state, form = care_form(kit, request.user, occasion, request.POST, on=localdate())
    if form is None:
        raise Http404(_("This checklist is not due."))
    due = next(each for each in state.care if each.occasion == occasion)
    if form.is_valid():
        with saying_errors(request):
            values = form.cleaned_data | {"occasion": occasion, "since": due.since}
            count = actions.tick_care(pk, by=request.user, at=now(), **values)
            messages.success(request, _("Ticked: %(count)s.") % {"count": count})
    for errors in form.errors.values():
        messages.error(request, str(errors[0]))
    return redirect("hunts:kit_detail", pk=pk)


@require_http_methods(["GET", "POST"])
def kit_bench(request: MemberRequest, pk: int) -> HttpResponse:
    """One pass at a time; the next comes with the next item and the rest as it was."""
    kit = get_object_or_404(Kit.objects.visible_to(request.user), pk=pk)
    form = BenchForm(sent(request)[0], initial=first_pass(kit, request.user) | request.GET.dict())
    if request.method == "POST" and form.is_valid():
        try:
            once = form.cleaned_data["client_id"]
            test = actions.log_bench(pk, by=request.user, at=now(), client_id=once, **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request,
                _("%(item)s at %(test_distance_cm)s cm is kept.")
                % {"item": test.get_item_display(), "test_distance_cm": test.distance_cm},
            )
            return redirect(_next_pass(test))
    return render(request, "hunts/kit_bench.html", {"form": form, "kit": kit})


def _next_pass(test: BenchTest) -> str:
    kept = {"item": next_item(test), "mode": test.mode}
    kept |= {"distance_cm": str(test.distance_cm), "orientation": test.orientation}
    return f"{reverse('hunts:kit_bench', args=[test.kit_id])}?{urlencode(kept)}"


@require_GET
def kit_readings(request: MemberRequest, pk: int) -> HttpResponse:
    """Bench readings beside what was dug at each target ID, for one mode."""
    kit = get_object_or_404(Kit.objects.visible_to(request.user), pk=pk)
    scales, bare = scales_of(kit, request.user)
    asked = request.GET.get("width", "5")
    width = int(asked) if asked in {str(each) for each in WIDTHS} else 5
    key = request.GET.get("mode", "")
    chosen = scales.get(key) or max(scales.values(), key=lambda s: len(s.holes), default=None)
    context = {"kit": kit, "bare": bare, "width": width, "widths": WIDTHS, "scale": chosen}
    context["scales"] = [{"key": k, "scale": s, "dug": len(s.holes)} for k, s in sorted(scales.items())]
    if chosen is not None:
        context |= compared(chosen, width)
    return render(request, "hunts/kit_readings.html", context)
