"""A sample of each kind of table, made from its fields and the invented parish, to be written over."""

import io
from collections.abc import Mapping

import openpyxl
from openpyxl.styles import Font

from keeping.import_kinds import KINDS
from web.csv_safe import safe_text

Rows = tuple[list[str], list[list[str]]]

_ROWS: dict[str, list[dict[str, str]]] = {
    "members": [
        {"name": "Ned Spit", "email": "ned.spit@ravensand.example", "phone": "07700 900321",
         "emergency_contact": "Wyn Spit 07700 900322", "vehicle": "RV19 SND", "starts": "2019-04-03",
         "ends": "2027-03-31"},
        {"name": "Isa Ebb", "email": "isa.ebb@ravensand.example", "phone": "07700 900323", "ends": "2027-03-31"},
    ],
    "landholders": [
        {"name": "Marsh End Partners", "contact_name": "Ada Warp", "email": "ada.warp@saltmere.example",
         "phone": "07700 900411", "address": "Marsh End, Ravensand Lane", "postcode": "HU99 1SM"},
        {"name": "Tobias Fleet", "phone": "07700 900412", "address": "Lowgate, Orwithfleet", "postcode": "HU99 2OF"},
    ],
    "sites": [
        {"code": "ME01", "name": "Groyne Piece", "holding": "Marsh End", "parish": "Ravensand", "land_use": "arable",
         "owner": "Marsh End Partners", "tenant": "Tobias Fleet", "area_ha": "3.2", "gate": "TA 4752 1531",
         "boundary": "TA 4750 1530; TA 4768 1530; TA 4768 1548; TA 4750 1548",
         "hazards": "Drain along the east side"},
        {"code": "ME02", "name": "Samphire Ing", "holding": "Marsh End", "parish": "Ravensand",
         "owner": "Marsh End Partners", "boundary": "no boundary yet"},
    ],
    "finds": [
        {"own reference": "bag 17", "found on": "2014-03-15", "site": "ME01", "finder": "ned.spit@ravensand.example",
         "object": "buckle", "materials": "copper alloy", "circumstances": "none", "depth (cm)": "12",
         "position": "TA 4758 1537"},
        {"own reference": "bag 18", "found on": "2014-03-15", "site": "ME01", "finder": "isa.ebb@ravensand.example",
         "object": "button", "materials": "copper alloy", "circumstances": "none", "how many": "2"},
    ],
}  # fmt: skip


def sample_rows(kind: str) -> Rows:
    """The columns that the sample fills, by the names of the fields, and its rows."""
    rows = _ROWS[kind]
    used = [field for field in KINDS[kind].fields if any(field.key in row for row in rows)]
    header = [str(field.label) for field in used]
    return header, [[row.get(field.key, "") for field in used] for row in rows]


def sample_book(sheets: Mapping[str, Rows]) -> bytes:
    """A spreadsheet with a sheet for each table, every cell text: no formula, whatever it begins with."""
    book = openpyxl.Workbook()
    for name, (header, rows) in sheets.items():
        sheet = book.create_sheet(name)
        sheet.append(header)
        for cell in sheet[1]:
            cell.font = Font(bold=True)
        for row in rows:
            sheet.append([safe_text(text) for text in row])
    book.remove(book.worksheets[0])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
