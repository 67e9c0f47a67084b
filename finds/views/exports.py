"""The finds a reader may see, as a CSV file."""

from collections.abc import Iterable

from django.http import StreamingHttpResponse
from django.utils.timezone import localdate, now
from django.views.decorators.http import require_GET

from finds.export import export_lines
from finds.models import Find
from people.http import MemberRequest


def csv_answer(lines: Iterable[str], filename: str) -> StreamingHttpResponse:
    """A CSV file to be kept, written as it is made; no cache keeps it."""
    response = StreamingHttpResponse(
        (line.encode() for line in lines), content_type="text/csv; charset=utf-8; header=present"
    )
    response["Content-Disposition"] = f'attachment; filename="{filename}"'
    response["Cache-Control"] = "private, no-store"
    response["X-Content-Type-Options"] = "nosniff"
    return response


@require_GET
def export_csv(request: MemberRequest) -> StreamingHttpResponse:
    """`?locked=yes` adds the places of locked finds to those who may see them; each is a look that is recorded."""
    finds = Find.objects.visible_to(request.user)
    if request.GET.get("whose") == "mine":
        finds = finds.filter(finder=request.user)
    if hunt := request.GET.get("hunt", ""):
        finds = finds.filter(hunt__code=hunt)
    if wanted := request.GET.get("q", "").strip():
        finds = finds.filter(object_type__icontains=wanted)
    lines = export_lines(finds, request.user, at=now(), with_locked=request.GET.get("locked") == "yes")
    return csv_answer(lines, f"finds-{localdate():%Y-%m-%d}.csv")
