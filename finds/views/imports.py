"""A table of finds: get the template, send a file, look at what it would make, save it."""

from collections.abc import Callable
from functools import wraps
from typing import TypeVar, cast

from django.contrib import messages
from django.http import HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds import actions
from finds.csv_columns import COLUMNS
from finds.csv_read import Table
from finds.forms import ReadAgainForm, SealForm, TableFileForm
from finds.import_file import check_table, table_of, take_table
from finds.import_page import look_context, made_context
from finds.import_rows import plan_rows
from finds.incident_page import first_stop
from finds.models import FindImportDraft
from finds.views.exports import csv_answer
from people.http import MemberRequest
from people.rights import Right, require
from permissions.actions import NoDraftError
from web.csv_safe import csv_lines
from web.tables.errors import TableError

V = TypeVar("V", bound=Callable[..., HttpResponse])


def says_when_gone(view: V) -> V:
    """A file that is gone, or rows that changed, between looking and saving are said; the way on is shown."""

    @wraps(view)
    def inner(request: MemberRequest, pk: int) -> HttpResponse:
        try:
            return view(request, pk)
        except NoDraftError as error:
            messages.error(request, str(error))
            return redirect("finds:import_start")
        except (actions.ImportChangedError, TableError) as error:
            messages.error(request, str(error))
            return redirect("finds:import_look", pk=pk)

    return cast(V, inner)


def _draft(request: MemberRequest, pk: int) -> FindImportDraft:
    require(request.user, Right.LOG_HOLES)
    return get_object_or_404(FindImportDraft.objects.visible_to(request.user).live(now()), pk=pk)


@require_http_methods(["GET", "POST"])
def import_start(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.LOG_HOLES)
    form = TableFileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        try:
            data, name = take_table(said["file"])
            check_table(data)
        except TableError as error:
            form.add_error("file", str(error))
        else:
            about = {"client_id": said["client_id"], "day_order": said["day_order"]}
            draft = actions.keep_find_import(data, name, by=request.user, at=now(), **about)
            return redirect("finds:import_look", pk=draft.pk)
    return render(request, "finds/import_start.html", {"form": form})


@require_GET
def import_columns(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.LOG_HOLES)
    needed = [column for column in COLUMNS if column.is_needed]
    others = [column for column in COLUMNS if not column.is_needed]
    return render(request, "finds/import_columns.html", {"needed": needed, "others": others})


@require_GET
def import_template_csv(request: MemberRequest) -> StreamingHttpResponse:
    require(request.user, Right.LOG_HOLES)
    return csv_answer(csv_lines([column.name for column in COLUMNS], []), "finds-template.csv")


@require_GET
def import_look(request: MemberRequest, pk: int) -> HttpResponse:
    draft = _draft(request, pk)
    if draft.saved_at is not None:
        return render(request, "finds/import_made.html", made_context(draft, request.user))
    table = _table(request, draft)
    plan = plan_rows(table, by=request.user, at=now(), order=draft.day_order)
    context = look_context(draft, table, plan)
    started = {"encoding": table.encoding, "day_order": draft.day_order}
    context["again_form"] = ReadAgainForm(initial=started, auto_id="again_%s")
    context["seal_form"] = SealForm(initial={"seal": context["seal"]}, auto_id="seal_%s")
    return render(request, "finds/import_look.html", context)


def _table(request: MemberRequest, draft: FindImportDraft) -> Table:
    """The rows as the sender says they are to be read, or as the file says where that cannot be."""
    try:
        return table_of(draft)
    except TableError as error:
        messages.error(request, str(error))
        return check_table(bytes(draft.raw or b""))


@require_POST
@says_when_gone
def import_read(request: MemberRequest, pk: int) -> HttpResponse:
    _draft(request, pk)
    form = ReadAgainForm(request.POST)
    if form.is_valid():
        actions.reread_find_import(pk, by=request.user, at=now(), **form.cleaned_data)
    return redirect("finds:import_look", pk=pk)


@require_POST
@says_when_gone
def import_save(request: MemberRequest, pk: int) -> HttpResponse:
    _draft(request, pk)
    form = SealForm(request.POST)
    if form.is_valid():
        finds = actions.save_find_import(pk, by=request.user, at=now(), seal=form.cleaned_data["seal"])
        messages.success(
            request,
            _n("%(finds)s find is recorded.", "%(finds)s finds are recorded.", len(finds))
            % {"finds": len(finds)},
        )
        if stop := first_stop(finds, request.user):
            return redirect("finds:incident", pk=stop.pk)
    return redirect("finds:import_look", pk=pk)


@require_POST
@says_when_gone
def import_discard(request: MemberRequest, pk: int) -> HttpResponse:
    draft = _draft(request, pk)
    actions.discard_find_import(pk, by=request.user, at=now())
    messages.success(
        request,
        _("“%(draft_filename)s” is thrown away; what was saved from it stays.")
        % {"draft_filename": draft.filename},
    )
    return redirect("finds:list")
