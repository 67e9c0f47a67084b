"""The peer of the load runs: the least that a Django view can do for the same request, on the same server."""

import json
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.urls import include, path

from people.models import Contact
from web.files import private_name

PAGE = f"<!doctype html><title>Bare</title>{'<p>Nothing to see here.</p>' * 1000}"


def page(request: Any) -> HttpResponse:
    """A page of 27 kB for somebody who is signed in: session, user, one look at a table."""
    return HttpResponse(f"{PAGE}{request.user.name} {Contact.objects.count()}")


def records(request: HttpRequest) -> JsonResponse:
    """One row for each record, each in a transaction of its own."""
    sent = json.loads(request.body)["records"]
    for record in sent:
        with transaction.atomic():
            Contact.objects.create(kind="police", name=record["client_id"], phone="101")
    return JsonResponse({"kept": len(sent)})


def photo(request: HttpRequest) -> JsonResponse:
    """The bytes into the store, as they came, and one row."""
    with transaction.atomic():
        name = default_storage.save(private_name("bare", "jpg"), ContentFile(request.body))
        Contact.objects.create(kind="police", name=name[:80], phone="101")
    return JsonResponse({"received": len(request.body), "state": "stored"})


urlpatterns = [
    path("bare/", page),
    path("bare/records/", records),
    path("bare/photo/", photo),
    path("", include("config.urls")),
]
