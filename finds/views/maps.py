"""The map of finds: the page with its list, the features of one frame, and a picture."""

from urllib.parse import urlencode

from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from finds.forms import FindFilterForm, FrameForm
from finds.map_page import FindsMap, list_context
from finds.map_query import Frame
from people.http import MemberRequest
from permissions.maps import background


@require_GET
def find_map(request: MemberRequest) -> HttpResponse:
    form = FindFilterForm(request.GET, user=request.user)
    context = list_context(request.user, form.asked, request.GET.get("page"))
    more = {"form": form, "query": urlencode(form.asked), "ground": background()}
    return render(request, "finds/map.html", context | more)


@require_POST
def map_data(request: MemberRequest) -> HttpResponse:
    """GeoJSON of one frame. The frame comes in the body: where somebody looked stands in no address and no log."""
    framed = FrameForm(request.POST)
    if not framed.is_valid():
        return JsonResponse({"errors": framed.errors}, status=400)
    frame = Frame(**framed.cleaned_data) if framed.cleaned_data["zoom"] is not None else None
    asked = FindFilterForm(request.GET, user=request.user).asked
    answer = FindsMap.of(request.user, asked).answer(frame)
    return JsonResponse(answer, content_type="application/geo+json")


@require_GET
def map_picture(request: MemberRequest) -> HttpResponse:
    """The map as SVG."""
    asked = FindFilterForm(request.GET, user=request.user).asked
    drawn = FindsMap.of(request.user, asked).picture(_("Map of the finds in the list"))
    if drawn is None:
        raise Http404(_("None of these finds has a place that you may see on a map."))
    return HttpResponse(drawn, content_type="image/svg+xml; charset=utf-8")
