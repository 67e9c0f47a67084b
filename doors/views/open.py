"""The open interface: landing page, conformance, API definition, collections and features (OGC API - Features)."""

from django.http import HttpRequest, HttpResponse
from django.utils.timezone import now
from django.utils.translation import gettext as _

from doors import documents
from doors.api_document import api_document
from doors.asked import check_known, read_query
from doors.collections import COLLECTIONS
from doors.documents import GEOJSON, JSON, OPENAPI
from doors.pages import collection_page, item_page, items_page, operations
from doors.views.door import Access, answer, not_found, opened
from people.mail_message import club_name

ONLY_FORMAT = {"f": None}


@opened
def landing(request: HttpRequest, access: Access) -> HttpResponse:
    check_known(request.GET, ONLY_FORMAT)
    document = documents.landing(access.addresses, club_name())
    return answer(request, access, document, JSON, "landing")


@opened
def conformance(request: HttpRequest, access: Access) -> HttpResponse:
    check_known(request.GET, ONLY_FORMAT)
    return answer(request, access, documents.conformance(access.addresses), JSON, "conformance")


@opened
def api(request: HttpRequest, access: Access) -> HttpResponse:
    check_known(request.GET, ONLY_FORMAT)
    document = api_document(access.addresses.to("", {}), club_name())
    return answer(request, access, document, OPENAPI, "api", operations=operations(document))


@opened
def collections(request: HttpRequest, access: Access) -> HttpResponse:
    check_known(request.GET, ONLY_FORMAT)
    shown = [each for each in COLLECTIONS.values() if each.id in access.scope]
    document = documents.collections(access.addresses, shown, access.user)
    return answer(request, access, document, JSON, "collections")


@opened
def collection(request: HttpRequest, access: Access, name: str) -> HttpResponse:
    shown = access.collection(name)
    check_known(request.GET, ONLY_FORMAT)
    document = documents.collection(access.addresses, shown, access.user)
    return answer(request, access, document, JSON, "collection", **collection_page(shown))


@opened
def items(request: HttpRequest, access: Access, name: str) -> HttpResponse:
    shown, at = access.collection(name), now()
    page = shown.features(access.user, read_query(request.GET, shown), at=at)
    asked = {key: value for key, value in request.GET.items() if key != "f"}
    document = documents.items(access.addresses, shown, page, asked, at=at)
    # Cells of a table are words in the reader's language: dear, and nothing to a program.
    table = items_page(shown, document) if access.is_html else {}
    return answer(request, access, document, GEOJSON, "items", **table)


@opened
def item(request: HttpRequest, access: Access, name: str, number: str) -> HttpResponse:
    shown = access.collection(name)
    check_known(request.GET, ONLY_FORMAT)
    known = number.isascii() and number.isdecimal() and len(number) <= 18
    feature = shown.feature(access.user, int(number), at=now()) if known else None
    if feature is None:
        raise not_found(_("There is no feature %(number)s here.") % {"number": number[:40]})
    document = documents.item(access.addresses, shown, feature)
    table = item_page(shown, document) if access.is_html else {}
    return answer(request, access, document, GEOJSON, "item", **table)
