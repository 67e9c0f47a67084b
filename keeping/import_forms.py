"""The forms of an import: the file, its sheet and header line, its columns, and the word that saves it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from keeping.import_answers import answer_fields
from keeping.import_kinds import ImportKind
from people.models import TableKind
from people.tables import LAST_FIRST, DraftTable
from web.forms import BaseForm, OnceForm
from web.tables.fields import by_key
from web.tables.guess import best_sheet
from web.tables.match import TheirColumn, ambiguous_day, name_with_comma, turned_name
from web.tables.rows import Row
from web.tables.spreadsheet import Sheet
from web.tables.text import ENCODINGS
from web.tables.values import DAY_FIRST, MONTH_FIRST, is_ambiguous_date, proven_order

_HEADERS_OFFERED = 12


class StartForm(OnceForm):
    """A file, and what its rows are."""

    kind = forms.ChoiceField(
        label=_lazy("Each row is one of"),
        choices=TableKind.choices,
        initial=TableKind.MEMBERS.value,
        widget=forms.RadioSelect,
    )
    file = forms.FileField(
        label=_lazy("File"),
        widget=forms.ClearableFileInput(attrs={"accept": ".xlsx,.xlsm,.csv,.txt,.tsv,text/csv"}),
        help_text=_lazy("A spreadsheet (.xlsx) or CSV, up to 10 MB and three thousand rows."),
        error_messages={"empty": _lazy("The file is empty; export it again.")},
    )
    field_order = ["client_id", "kind", "file"]


class RowsForm(BaseForm):
    """Which sheet, which line holds the names of the columns, and for text in which letters."""

    def __init__(self, *args: Any, table: DraftTable, sheets: list[Sheet], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        draft = table.draft
        if len(sheets) > 1:
            names = [(sheet.name, sheet.name) for sheet in sheets]
            self.fields["sheet"] = forms.ChoiceField(
                label=_lazy("Sheet"),
                choices=names,
                initial=draft.sheet or best_sheet(table.guesser, ((s.name, s.lines) for s in sheets)),
            )
        if table.source.sheet is not None:
            offered = [
                (str(line), _said(line, cells)) for line, cells in table.sheet.lines[:_HEADERS_OFFERED]
            ]
            self.fields["header_line"] = forms.ChoiceField(
                label=_lazy("The names of the columns stand in"),
                choices=offered,
                initial=str(table.header[0]),
                widget=forms.RadioSelect,
            )
        if table.source.letters is not None:
            self.fields["encoding"] = forms.ChoiceField(
                label=_lazy("Letters are in"),
                choices=list(ENCODINGS.items()),
                initial=table.source.letters.encoding,
            )

    def chosen(self, draft: Any) -> dict[str, Any]:
        """What goes to the action. Of another sheet than the one shown, the header line is looked for anew."""
        said = self.cleaned_data
        sheet = said.get("sheet", draft.sheet)
        line = int(said.get("header_line") or 0) if sheet == draft.sheet else 0
        return {"sheet": sheet, "header_line": line, "encoding": said.get("encoding", draft.encoding)}


def _said(line: int, cells: list[str]) -> str:
    filled = [cell.strip() for cell in cells if cell.strip()]
    text = " | ".join(filled[:6])
    return _("Line %(line)s: %(text)s") % {
        "line": line,
        "text": text[:120] + ("…" if len(text) > 120 else ""),
    }


@dataclass(frozen=True)
class ColumnRow:
    """One column of theirs as the page shows it, with the choice of ours."""

    column: TheirColumn
    field: BoundField


class ColumnsForm(BaseForm):
    """Which column is which field, and the answers that a table of this kind needs beside it."""

    day_order = forms.ChoiceField(
        label=_lazy("03/04/2019 means"),
        choices=[
            ("", _lazy("No such dates in this file")),
            (DAY_FIRST, _lazy("3 April: the day comes first")),
            (MONTH_FIRST, _lazy("4 March: the month comes first")),
        ],
        required=False,
    )
    name_order = forms.ChoiceField(
        label=_lazy("Names with a comma are written"),
        choices=[
            ("", _lazy("No such names in this file")),
            (LAST_FIRST, _lazy("Last name first: Samphire, Mo")),
            ("as_is", _lazy("As they should stay, comma and all")),
        ],
        required=False,
    )

    def __init__(self, *args: Any, table: DraftTable, kind: ImportKind, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.table, self.kind = table, kind
        known = by_key(kind.fields)
        if not any(field.is_date for field in kind.fields):
            del self.fields["day_order"]
        if "name" not in known or "first_name" not in known:
            del self.fields["name_order"]
        self.fields |= answer_fields(kind.kind.value, today)
        suggested = table.suggestion()
        self._show_day_order(suggested)
        choices = [("", _lazy("Leave out")), *((field.key, field.label) for field in kind.fields)]
        for column in table.columns:
            self.fields[f"c{column.number}"] = forms.ChoiceField(
                label=column.header or _("Column %(number)s") % {"number": column.number + 1},
                choices=choices,
                required=False,
                initial=suggested.get(column.number, ""),
            )
        remembered = table.answers or (table.memory.answers if table.memory else {})
        for name in remembered.keys() & self.fields.keys():
            self.fields[name].initial = remembered[name]

    def _show_day_order(self, suggested: dict[int, str]) -> None:
        """What the dates of the file show themselves, and no word that there are none where there are."""
        if "day_order" not in self.fields:
            return
        known = by_key(self.kind.fields)
        columns = [number for number, key in suggested.items() if known[key].is_date]
        below = (cells for line, cells in self.table.sheet.lines if line > self.table.header[0])
        texts = [cells[number] for cells in below for number in columns if number < len(cells)]
        field: Any = self.fields["day_order"]
        field.initial = proven_order(texts)
        if any(map(is_ambiguous_date, texts)):
            field.choices = [("", _("Choose")), *field.choices[1:]]

    @property
    def column_rows(self) -> list[ColumnRow]:
        return [ColumnRow(column, self[f"c{column.number}"]) for column in self.table.columns]

    @property
    def answer_rows(self) -> Iterator[BoundField]:
        return (field for field in self.visible_fields() if not field.name[1:].isdigit())

    @property
    def chosen(self) -> dict[int, str]:
        """Our field for each column of theirs that is not left out."""
        named = {
            column.number: self.cleaned_data.get(f"c{column.number}", "") for column in self.table.columns
        }
        return {number: key for number, key in named.items() if key}

    @property
    def answers(self) -> dict[str, Any]:
        """What was answered, as it can be kept."""
        said = {name: v for name, v in self.cleaned_data.items() if not name[1:].isdigit()}
        return {name: v.isoformat() if isinstance(v, date) else v for name, v in said.items()}

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        chosen = self.chosen
        self._check_columns(chosen)
        if not self.errors:
            rows = self.table.matched(chosen).rows
            self._check_dates(rows, chosen)
            self._check_names(rows)
            self._check_kind(rows, values)
        return values

    def _check_columns(self, chosen: dict[int, str]) -> None:
        known = by_key(self.kind.fields)
        for number, key in chosen.items():
            if known[key].joined is None and list(chosen.values()).index(key) < list(chosen).index(number):
                self.add_error(
                    f"c{number}",
                    _("“%(field)s” is chosen for two columns; leave one of them out.")
                    % {"field": known[key].label},
                )
        for group in self.kind.needed:
            if not set(group) & set(chosen.values()):
                names = _(" or ").join(f"“{known[key].label}”" for key in group)
                self.add_error(
                    None, _("No column is chosen for %(names)s; each row needs it.") % {"names": names}
                )

    def _check_dates(self, rows: list[Row], chosen: dict[int, str]) -> None:
        fields = {key: field for key, field in by_key(self.kind.fields).items() if key in chosen.values()}
        text = ambiguous_day(rows, fields)
        if text and not self.cleaned_data.get("day_order"):
            self.add_error("day_order", _("The file has “%(text)s”; say which comes first.") % {"text": text})

    def _check_names(self, rows: list[Row]) -> None:
        text = name_with_comma(rows, "name") if "name_order" in self.fields else ""
        if text and not self.cleaned_data.get("name_order"):
            words = _("The file has “%(text)s”; say whether that is %(turned)s.")
            self.add_error("name_order", words % {"text": text, "turned": turned_name(text)})

    def _check_kind(self, rows: list[Row], values: dict[str, Any]) -> None:
        starts, ends = values.get("starts"), values.get("ends")
        if starts and ends and ends < starts:
            self.add_error("ends", _("The last day is before the first; give a later one."))
        needs_outing = any(not row.cells.get("hunt") and not row.cells.get("number") for row in rows)
        if "past_why" in self.fields and needs_outing and not values.get("past_why"):
            words = _("Rows without a hunt become past outings; say what is known of the permission.")
            self.add_error("past_why", words)


class SealForm(BaseForm):
    """Save what was looked at."""

    seal: Any = forms.CharField(max_length=64, widget=forms.HiddenInput)
