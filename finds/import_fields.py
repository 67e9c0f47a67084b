"""The fields of a table of old finds: the columns of every table of finds, with Dutch header words beside them."""

from django.utils.translation import gettext_lazy as _lazy

from finds.csv_columns import COLUMNS, DATES, NUMBER
from web.tables.fields import Field

_MORE = {
    "hunt": ("hunt number", "outing", "zoekdag", "zoektocht"),
    "own reference": ("ref", "find no", "find ref", "bag", "bag number", "id", "vondstnummer", "vondst nr",
                      "eigen nummer", "nummer", "nr", "zaknummer"),
    "finder": ("found by", "who", "finder name", "detectorist", "name", "vinder", "gevonden door", "naam"),
    "site": ("site code", "field code", "field name", "perceel", "perceelcode", "veld", "akker"),
    "found on": ("date found", "found", "date of find", "day", "datum", "vondstdatum", "gevonden op"),
    "time": ("time found", "tijd", "tijdstip"),
    "object": ("find", "item", "what", "artefact", "artifact", "object name", "vondst", "voorwerp", "omschrijving"),
    "how many": ("qty", "number found", "pieces", "aantal"),
    "coin": ("is coin", "munt"),
    "materials": ("metal", "made of", "materiaal", "metaal"),
    "weight (g)": ("weight g", "weight grams", "grams", "gewicht", "gewicht g", "gram"),
    "depth (cm)": ("depth cm", "diepte", "diepte cm"),
    "length (mm)": ("length mm", "lengte", "lengte mm"),
    "width (mm)": ("width mm", "breedte", "breedte mm"),
    "thickness (mm)": ("thickness mm", "dikte", "dikte mm"),
    "diameter (mm)": ("diameter mm", "doorsnede"),
    "inscription": ("legend", "opschrift", "tekst"),
    "period": ("age", "era", "periode", "tijdperk"),
    "year from": ("from year", "dated from", "van jaar", "datering van"),
    "year to": ("to year", "dated to", "tot jaar", "datering tot"),
    "how sure": ("certain", "zekerheid"),
    "identified by": ("id by", "recorded by", "gedetermineerd door"),
    "identified on": ("identified", "gedetermineerd op"),
    "completeness": ("complete", "volledigheid", "compleet"),
    "condition": ("state", "conditie", "toestand", "staat"),
    "context": ("soil", "grond", "bodem"),
    "description": ("comments", "remarks", "details", "opmerkingen", "opmerking", "beschrijving"),
    "position": ("grid ref", "os grid ref", "location", "coordinates", "gps", "find spot", "plaats", "locatie",
                 "coördinaten", "rd coordinaten", "vindplaats", "vondstplaats"),
    "position accuracy (m)": ("accuracy m", "gps accuracy", "nauwkeurigheid", "nauwkeurigheid m"),
}  # fmt: skip
_JOINED = {"description": "\n", "materials": "; ", "position": ", "}

_LABELS = {
    "hunt": _lazy("Hunt"),
    "own reference": _lazy("Own reference"),
    "finder": _lazy("Finder"),
    "site": _lazy("Site"),
    "found on": _lazy("Found on"),
    "time": _lazy("Time"),
    "object": _lazy("Object"),
    "how many": _lazy("How many"),
    "coin": _lazy("Coin"),
    "materials": _lazy("Materials"),
    "no gold or silver": _lazy("No gold or silver"),
    "circumstances": _lazy("Circumstances"),
    "weight (g)": _lazy("Weight (g)"),
    "depth (cm)": _lazy("Depth (cm)"),
    "length (mm)": _lazy("Length (mm)"),
    "width (mm)": _lazy("Width (mm)"),
    "thickness (mm)": _lazy("Thickness (mm)"),
    "diameter (mm)": _lazy("Diameter (mm)"),
    "inscription": _lazy("Inscription"),
    "period": _lazy("Period"),
    "date in EDTF": _lazy("Date in EDTF"),
    "year from": _lazy("Year from"),
    "year to": _lazy("Year to"),
    "how sure": _lazy("How sure"),
    "identified by": _lazy("Identified by"),
    "identified on": _lazy("Identified on"),
    "completeness": _lazy("Completeness"),
    "condition": _lazy("Condition"),
    "context": _lazy("Context"),
    "description": _lazy("Description"),
    "realised on": _lazy("Realised on"),
    "position": _lazy("Position"),
    "position accuracy (m)": _lazy("Position accuracy (m)"),
    "outside is right": _lazy("Outside is right"),
}

FIND_FIELDS = (
    *(
        Field(
            column.name,
            _LABELS[column.name],
            (column.name, *column.others, *_MORE.get(column.name, ())),
            column.words,
            column.example,
            is_needed=column.name == "object",
            is_date=column.name in DATES,
            joined=_JOINED.get(column.name),
        )
        for column in COLUMNS
    ),
    Field(
        NUMBER,
        _lazy("Find number"),
        ("find number",),
        _lazy("The number that a find got here, from a table that was exported here."),
    ),
)
