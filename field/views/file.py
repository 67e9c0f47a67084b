"""A file that was saved on a phone, sent in from anywhere: the same checks, the same answers."""

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from field.account import account_of
from field.forms import FILE_BYTES, FileForm
from field.intake import take
from field.parked_page import KINDS
from field.read import UnreadableError, read_json
from field.results import Result
from field.views.answers import Refused
from field.views.records import list_of
from people.http import MemberRequest
from people.rights import Right, require
from tongue import noop

MOST_IN_FILE = 1000
OTHERS = noop("The file holds records of another account. Whoever made them signs in and sends it in.")
NO_OBJECT = noop("This is no file of the field page; choose the one that “Save to a file” made.")
COUNTED = {
    "stored": ("open", noop("Stored")),
    "again": ("done", noop("Stored before")),
    "parked": ("late", noop("Needs you")),
    "waiting": ("ask", noop("Waits for another record")),
}


@require_http_methods(["GET", "POST"])
def file(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.LOG_HOLES)
    form = FileForm(request.POST, request.FILES) if request.method == "POST" else FileForm()
    if request.method == "POST" and form.is_valid():
        try:
            raws, results = _taken(request, form.cleaned_data["file"])
        except (UnreadableError, Refused) as error:
            form.add_error("file", str(error))
        else:
            rows = [_row(raw, result) for raw, result in zip(raws, results, strict=True)]
            waiting = any(result.state == "waiting" for result in results)
            return render(request, "field/file_done.html", {"rows": rows, "waiting": waiting})
    return render(request, "field/file.html", {"form": form})


def _taken(request: MemberRequest, data: bytes) -> tuple[list[Any], list[Result]]:
    sent = read_json(data, most=FILE_BYTES)
    if not isinstance(sent, dict):
        raise UnreadableError(_(NO_OBJECT))
    if sent.get("account") != account_of(request.user):
        raise UnreadableError(_(OTHERS))
    raws = list_of(sent, most=MOST_IN_FILE)
    return raws, take(raws, by=request.user, at=now(), device_now=None)


def _row(raw: Any, result: Result) -> dict[str, Any]:
    kind = raw.get("kind") if isinstance(raw, dict) else None
    status, words = COUNTED[result.state]
    words = _(words)
    return {
        "kind": _(KINDS.get(str(kind), KINDS["unreadable"])),
        "result": result,
        "status": status,
        "words": words,
    }
