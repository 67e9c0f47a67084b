"""The emergency card and the drills: both must open on an old phone with one bar of signal."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.timezone import now
from django.views.decorators.http import require_GET

from hunts import drills as drill_book
from hunts.cards import is_leaders_day, site_cards
from hunts.models import Hunt
from people.http import MemberRequest
from people.models import Contact
from people.rights import Right, require


@require_GET
def emergency_card(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user).select_related("leader"), pk=pk)
    at = now()
    with_phones = is_leaders_day(hunt, request.user, at)
    context = {
        "hunt": hunt,
        "cards": site_cards(hunt.sites.all(), hunt.begins, with_phones=with_phones),
        "with_phones": with_phones,
        "leader_phone": hunt.leader.phone,
        "may_enter": request.user.holds(Right.MANAGE_CLUB),
        **drill_book.for_card(site.jurisdiction for site in hunt.sites.all()),
    }
    return render(request, "hunts/emergency_card.html", context)


@require_GET
def drills(request: MemberRequest) -> HttpResponse:
    """Under the law that is asked for, else the club's own."""
    require(request.user, Right.LOG_HOLES)
    used, asked = dict(drill_book.places_used()), request.GET.get("law", "")
    law = asked if asked in used else drill_book.home_law()
    context = {
        "drills": drill_book.shown(Contact.objects.all(), law),
        "place": used.get(law, ""),
        "places": [(code, name) for code, name in used.items() if code != law],
        "may_enter": request.user.holds(Right.MANAGE_CLUB),
    }
    return render(request, "hunts/drills.html", context)
