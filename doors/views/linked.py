"""Word lists and find records as linked data."""

import json

from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.timezone import now
from django.views.decorators.http import require_GET

from doors.linked import record_of, turtle_of
from doors.vocabularies import graph_of, word_lists, written
from finds.models import Find
from finds.points import point_of
from people.http import MemberRequest
from people.site import site_of

NAMES = {"ttl": "Turtle", "jsonld": "JSON-LD"}
MEDIA_TYPES = {"ttl": "text/turtle; charset=utf-8", "jsonld": "application/ld+json"}


@require_GET
def vocabularies(request: MemberRequest) -> HttpResponse:
    """Every word list with its source and its files."""
    if not request.user.roles:
        raise Http404
    return render(
        request, "doors/vocabularies.html", {"lists": word_lists().values(), "forms": NAMES.items()}
    )


@require_GET
def vocabulary(request: MemberRequest, name: str, form: str) -> HttpResponse:
    """One word list as SKOS. Concepts are named by the list's own address, without the ending."""
    words = word_lists().get(name)
    if not request.user.roles or words is None or form not in MEDIA_TYPES:
        raise Http404
    address = f"{site_of(request)}{reverse('doors:vocabularies')}{name}"
    return _file(written(graph_of(words, address), form), form, f"{name}.{form}")


@require_GET
def find_linked(request: MemberRequest, pk: int, form: str) -> HttpResponse:
    """A find's record in the terms of the CIDOC CRM; the place of a locked one is never in it."""
    finds: QuerySet[Find] = Find.objects.visible_to(request.user)
    if form not in MEDIA_TYPES:
        raise Http404
    find = get_object_or_404(
        finds.select_related("finder", "hunt", "site").prefetch_related("materials"), pk=pk
    )
    point = None if find.locked else point_of(find, request.user)
    address = site_of(request) + reverse("finds:detail", args=[pk])
    record = record_of(find, point, address=address, reader=request.user.name, at=now())
    body = turtle_of(record) if form == "ttl" else json.dumps(record, ensure_ascii=False, indent=1).encode()
    return _file(body, form, f"{find.number}.{form}")


def _file(body: bytes, form: str, name: str) -> HttpResponse:
    response = HttpResponse(body, content_type=MEDIA_TYPES[form])
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    response["Cache-Control"] = "private, no-store"
    response["X-Content-Type-Options"] = "nosniff"
    return response
