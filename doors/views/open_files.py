"""The page of open files: choose what and how, take it; and what every column means."""

from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from doors.actions import note_file
from doors.files.formats import FORMATS, make_file
from doors.files.forms import OpenFileForm
from doors.files.offered import choices_for, dictionary, layer_of, records_of
from people import limits
from people.http import MemberRequest
from people.views.limits import words_of_wait


@require_http_methods(["GET", "POST"])
def open_files(request: MemberRequest) -> HttpResponse | FileResponse:
    """`?what=`, `?hunt=` and `?site=` fill the form in beforehand."""
    if not request.user.roles:
        raise Http404
    form = OpenFileForm(request.POST or None, user=request.user, initial=request.GET.dict())
    wait = 0
    if request.method == "POST" and form.is_valid():
        if not (wait := limits.consume(request, "file")):
            return _file(request, form)
        form.add_error(None, _too_many_files(wait))
    context = {"form": form, "choices": choices_for(request.user), "formats": FORMATS.values()}
    response = render(request, "doors/open_files.html", context, status=429 if wait else 200)
    if wait:
        response["Retry-After"] = str(wait)
    return response


def _too_many_files(wait: int) -> str:
    """When the next one may be taken; what was chosen stays on the page."""
    return _(
        "You took many files within the last hour, and each costs the server and is on record. Come back after "
        "%(again)s and take this one then."
    ) % {"again": words_of_wait(wait)}


def _file(request: MemberRequest, form: OpenFileForm) -> FileResponse:
    at, what, how = now(), form.cleaned_data["what"], FORMATS[form.cleaned_data["form"]]
    layer = layer_of(what, request.user, form.about, at=at)
    file, tally = make_file(how, layer, records_of(what, request.user, form.equals, at=at))
    note_file(what, how.code, form.about, tally, by=request.user, at=at)
    name = f"{layer.file_stem}.{how.extension}"
    response = FileResponse(file, as_attachment=True, filename=name, content_type=how.media_type)
    response["Cache-Control"] = "private, no-store"
    response["X-Content-Type-Options"] = "nosniff"
    return response


@require_GET
def file_dictionary(request: MemberRequest) -> HttpResponse:
    """The data dictionary: every collection's columns, as all files and the open interface have them."""
    if not request.user.roles:
        raise Http404
    return render(request, "doors/file_dictionary.html", {"dictionary": dictionary()})
