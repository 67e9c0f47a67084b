"""Ten finds in two minutes: one short form that comes back empty with the number just given."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import now
from django.views.decorators.http import require_http_methods

from finds import actions
from finds.forms import QuickForm
from finds.incident_page import stops_of_finds
from finds.quick import like, sitting_of
from hunts import maps
from hunts.actions.waiting_photos import let_photos_go
from hunts.models import Hunt
from hunts.stops import stops_of_hunt
from hunts.views.said import keep_for_next_time
from people.http import MemberRequest
from people.rights import Right, require


@require_http_methods(["GET", "POST"])
def quick(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.LOG_HOLES)
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    sitting = sitting_of(hunt, request.user, at=now())
    pattern = sitting.find(request.GET.get("like"))
    form = QuickForm(
        request.POST or None,
        request.FILES or None,
        hunt=hunt,
        by=request.user,
        at=now(),
        last=sitting.last,
        initial=like(pattern) if pattern else {},
    )
    if request.method == "POST" and form.is_valid() and (done := _recorded(request, hunt, form)):
        return done
    keep_for_next_time(request, form)
    made = sitting.find(request.GET.get("made"))
    context = {
        "hunt": hunt,
        "form": form,
        "made": made,
        "screening": sitting.screening(made) if made else None,
        "found_stops": stops_of_finds([made] if made else [], request.user),
        "stops": stops_of_hunt(hunt),
        "pattern": pattern,
        "rows": sitting.rows,
        "features": maps.ground(hunt),
    }
    return render(request, "finds/quick.html", context)


def _recorded(request: MemberRequest, hunt: Hunt, form: QuickForm) -> HttpResponse | None:
    """Back to the empty form once it is saved; None with the reason on the form."""
    try:
        find = actions.record_find(
            hunt.pk,
            by=request.user,
            at=now(),
            client_id=form.cleaned_data["client_id"],
            materials=form.materials_found(),
            photos=form.prepared_photos(),
            **form.record_fields(),
        )
    except actions.FindDateError as error:
        form.add_error("found_at", str(error))
    except actions.NotOnHuntError as error:
        form.add_error("finder", str(error))
    else:
        if form.waiting:
            let_photos_go(form.cleaned_data["client_id"], by=request.user, at=now())
        again = f"&like={find.pk}" if "again" in request.POST else ""
        return redirect(f"{reverse('finds:quick', args=[hunt.pk])}?made={find.pk}{again}")
    return None
