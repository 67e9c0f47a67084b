"""Tables that a club brings: send a file, match its columns, look at what it would make, save it."""

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar, cast
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds.incident_page import first_stop
from finds.models import Find
from finds.views.exports import csv_answer
from keeping.import_forms import ColumnsForm, RowsForm, SealForm, StartForm
from keeping.import_kinds import KINDS, kind_of
from keeping.import_page import look_context, made_context
from keeping.import_samples import sample_book, sample_rows
from people import actions
from people.http import MemberRequest
from people.models import TableDraft, TableImport
from people.rights import Right, require
from people.site import site_of
from people.tables import DraftTable
from web.csv_safe import csv_lines
from web.tables.errors import TableError
from web.tables.guess import Guesser
from web.tables.plan import ChangedError
from web.tables.source import read_source, take_upload
from web.tables.spreadsheet import first_rows
from web.taken import TakenError

Answer = HttpResponse | StreamingHttpResponse
V = TypeVar("V", bound=Callable[..., Answer])
SPREADSHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def says_when_gone(view: V) -> V:
    """A file that is gone, or rows that changed, between looking and saving are said; the way on is shown."""

    @wraps(view)
    def inner(request: MemberRequest, ref: UUID) -> Answer:
        try:
            return view(request, ref)
        except actions.NoTableError as error:
            done = TableImport.objects.visible_to(request.user).filter(client_id=ref).first()
            if done is not None:  # pressed twice at once, or gone back to: what it made is the answer
                return redirect("keeping:import_done", pk=done.pk)
            messages.error(request, str(error))
            return redirect("keeping:imports")
        except (ChangedError, TakenError):
            messages.error(request, _("Something has changed since you looked; look again, then save."))
            return redirect("keeping:import_look", ref=ref)
        except TableError as error:
            messages.error(request, str(error))
            return redirect("keeping:imports")

    return cast(V, inner)


def _table(request: MemberRequest, ref: UUID) -> DraftTable:
    """The reader's own file that is still to be saved. Raises NoTableError once it is."""
    require(request.user, Right.MANAGE_PEOPLE)
    draft = TableDraft.objects.visible_to(request.user).live(now()).filter(client_id=ref).first()
    if draft is None and TableImport.objects.visible_to(request.user).filter(client_id=ref).exists():
        raise actions.NoTableError
    if draft is None:
        raise Http404
    return DraftTable(draft, kind_of(draft).fields)


def _kept(request: MemberRequest, form: StartForm) -> TableDraft | None:
    """The file that was sent, once it can be read; None with the reason on the form."""
    said = form.cleaned_data
    try:
        data, name = take_upload(said["file"])
        read_source(data, Guesser(KINDS[said["kind"]].fields))
    except TableError as error:
        form.add_error("file", str(error))
        return None
    about = {"kind": said["kind"], "client_id": said["client_id"]}
    return actions.keep_table(data, name, by=request.user, at=now(), **about)


@require_http_methods(["GET", "POST"])
def imports(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    form = StartForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid() and (draft := _kept(request, form)):
        return redirect("keeping:import_columns", ref=draft.client_id)
    done = Paginator(TableImport.objects.visible_to(request.user).select_related("made_by"), 20)
    context = {
        "form": form,
        "kinds": KINDS.values(),
        "page": done.get_page(request.GET.get("page")),
        "drafts": TableDraft.objects.visible_to(request.user).live(now()).defer("raw"),
    }
    return render(request, "keeping/imports.html", context)


@require_GET
def import_sample(request: MemberRequest, kind: str, ending: str) -> Answer:
    require(request.user, Right.MANAGE_PEOPLE)
    if kind not in KINDS or ending not in {"csv", "xlsx"}:
        raise Http404
    header, rows = sample_rows(kind)
    if ending == "csv":
        return csv_answer(csv_lines(header, rows), f"{kind}-sample.csv")
    response = HttpResponse(sample_book({kind: (header, rows)}), content_type=SPREADSHEET)
    response["Content-Disposition"] = f'attachment; filename="{kind}-sample.xlsx"'
    return response


@require_http_methods(["GET", "POST"])
@says_when_gone
def import_rows(request: MemberRequest, ref: UUID) -> HttpResponse:
    table = _table(request, ref)
    draft = table.draft
    sheets = [] if table.source.letters else [sheet for sheet in first_rows(bytes(draft.raw)) if sheet.lines]
    form = RowsForm(request.POST or None, table=table, sheets=sheets)
    if request.method == "POST" and form.is_valid():
        chosen = form.chosen(draft)
        try:
            read_source(bytes(draft.raw), table.guesser, encoding=chosen["encoding"], sheet=chosen["sheet"])
        except TableError as error:
            form.add_error(None, str(error))
        else:
            actions.choose_rows(ref, by=request.user, at=now(), **chosen)
            return redirect("keeping:import_columns", ref=ref)
    context = {
        "form": form,
        "draft": draft,
        "sheets": sheets,
        "samples": table.source.samples() if table.source.letters else [],
    }
    return render(request, "keeping/import_rows.html", context)


@require_http_methods(["GET", "POST"])
@says_when_gone
def import_columns(request: MemberRequest, ref: UUID) -> HttpResponse:
    table = _table(request, ref)
    if table.needs_rows_chosen:
        return redirect("keeping:import_rows", ref=ref)
    kind = kind_of(table.draft)
    form = ColumnsForm(request.POST or None, table=table, kind=kind, today=localdate())
    if request.method == "POST" and form.is_valid():
        said: dict[str, Any] = {"digest": table.digest, "columns": form.chosen, "answers": form.answers}
        actions.match_columns(ref, by=request.user, at=now(), **said)
        return redirect("keeping:import_look", ref=ref)
    context = {"form": form, "draft": table.draft, "kind": kind, "table": table}
    return render(request, "keeping/import_columns.html", context)


@require_GET
@says_when_gone
def import_look(request: MemberRequest, ref: UUID) -> HttpResponse:
    table = _table(request, ref)
    if not table.draft.columns:
        return redirect("keeping:import_columns", ref=ref)
    matched = table.matched()
    plan = kind_of(table.draft).judge(matched, table.answers, by=request.user, at=now())
    context = look_context(table, matched, plan)
    context["seal_form"] = SealForm(initial={"seal": plan.seal}, auto_id="seal_%s")
    return render(request, "keeping/import_look.html", context)


@require_GET
@says_when_gone
def import_problems(request: MemberRequest, ref: UUID) -> Answer:
    table = _table(request, ref)
    if not table.draft.columns:
        return redirect("keeping:import_columns", ref=ref)
    plan = kind_of(table.draft).judge(table.matched(), table.answers, by=request.user, at=now())
    header = [_("Line"), _("Column"), _("Value"), _("What is wrong and what to do")]
    rows: list[list[str | int]] = [[p.line, p.column, p.value, p.words] for p in plan.problems]
    return csv_answer(csv_lines(header, rows), "to-mend.csv")


@require_POST
@says_when_gone
def import_save(request: MemberRequest, ref: UUID) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    done = TableImport.objects.visible_to(request.user).filter(client_id=ref).first()
    if done is None:
        kind, form = kind_of(_table(request, ref).draft), SealForm(request.POST)
        if not form.is_valid():
            return redirect("keeping:import_look", ref=ref)
        done = kind.save(
            ref, by=request.user, at=now(), site=site_of(request), seal=form.cleaned_data["seal"]
        )
        messages.success(request, _("The table is imported."))
    finds = Find.objects.visible_to(request.user).filter(pk__in=done.made.get("finds", []))
    if stop := first_stop(finds, request.user):
        return redirect("finds:incident", pk=stop.pk)
    return redirect("keeping:import_done", pk=done.pk)


@require_POST
@says_when_gone
def import_discard(request: MemberRequest, ref: UUID) -> HttpResponse:
    draft = _table(request, ref).draft
    actions.discard_table(ref, by=request.user, at=now())
    messages.success(
        request, _("“%(file)s” is thrown away; nothing was saved from it.") % {"file": draft.filename}
    )
    return redirect("keeping:imports")


@require_GET
def import_done(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    rows = TableImport.objects.visible_to(request.user).select_related("made_by", "taken_back_by")
    done = get_object_or_404(rows, pk=pk)
    return render(request, "keeping/import_done.html", made_context(done, request.user, at=now()))


@require_POST
def import_back(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    done = get_object_or_404(TableImport.objects.visible_to(request.user), pk=pk)
    kind = kind_of(done)
    try:
        if kind.take_back is None:
            raise actions.TakeBackError(str(kind.stays))
        kind.take_back(pk, by=request.user, at=now())
    except actions.TakeBackError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("The import is taken back; the audit trail keeps that it was there."))
    return redirect("keeping:import_done", pk=pk)
