"""The fields of tables of landholders and of sites, with the header words in English and Dutch that name them."""

from dataclasses import replace

from django.utils.translation import gettext_lazy as _lazy

from people.import_fields import EMAIL_WORDS, NAME_FIELDS, PHONE_WORDS
from web.tables.fields import Field

_LANDHOLDER_WORDS = ("landholder", "landowner", "land owner", "farmer", "owner", "company", "grondeigenaar",
                     "grondgebruiker", "eigenaar", "boer", "agrariër", "bedrijf", "bedrijfsnaam")  # fmt: skip
_WHOLE, *_PARTS = NAME_FIELDS

LANDHOLDER_FIELDS = (
    replace(_WHOLE, words=(*_WHOLE.words, *_LANDHOLDER_WORDS), example="Saltmere Farm Partners"),
    *_PARTS,
    Field(
        "contact_name",
        _lazy("Whom to ask for"),
        ("contact", "contact name", "contact person", "ask for", "contactpersoon", "aanspreekpunt"),
        "",
        "Ada Warp",
    ),
    Field("email", _lazy("E-mail"), EMAIL_WORDS, "", "ada.warp@saltmere.example"),
    Field("phone", _lazy("Phone"), PHONE_WORDS, "", "07700 900411", joined=" / "),
    Field(
        "address",
        _lazy("Address"),
        ("address", "address 1", "address 2", "address line 1", "address line 2", "street", "house number", "town",
         "city", "village", "county", "adres", "straat", "huisnummer", "huisnr", "plaats", "woonplaats", "gemeente"),
        _lazy("Several columns may go here; they are put below each other."),
        "Saltmere Farm, Ravensand Lane",
        joined="\n",
    ),
    Field("postcode", _lazy("Postcode"), ("postcode", "post code", "zip", "zip code", "postal code"), "", "HU99 1SM"),
    Field(
        "sites",
        _lazy("Site codes"),
        ("sites", "site", "site code", "site codes", "fields", "field", "field code", "perceel", "percelen", "veld",
         "velden", "perceelcode"),
        _lazy("Codes of sites that are here already, with semicolons between."),
        "SF91; SF92",
        joined="; ",
    ),
    Field(
        "capacity",
        _lazy("In what capacity"),
        ("capacity", "role", "type", "owner or tenant", "hoedanigheid", "rol", "soort", "eigenaar of pachter"),
        _lazy("Owner, occupier (or tenant), sporting tenant, or informed only."),
        "owner",
    ),
    Field(
        "held_since",
        _lazy("Details held since"),
        ("held since", "details held since", "since", "sinds", "bekend sinds"),
        is_date=True,
    ),
    Field(
        "held_why",
        _lazy("Why we hold them"),
        ("held why", "why we hold them", "reason", "reden"),
    ),
    Field(
        "notes",
        _lazy("Notes"),
        ("notes", "note", "remarks", "comments", "opmerkingen", "opmerking", "notities"),
        joined="\n",
    ),
)  # fmt: skip

SITE_FIELDS = (
    Field(
        "code",
        _lazy("Site code"),
        ("code", "site code", "field code", "site", "site no", "field no", "number", "perceelcode", "veldcode",
         "nummer", "nr"),
        _lazy("Short and written on bags and reports. Where there is none, one is made from the name."),
        "SF91",
    ),
    Field(
        "name",
        _lazy("Field name"),
        ("name", "field name", "field", "site name", "naam", "perceelnaam", "naam perceel", "perceel", "veld",
         "veldnaam", "akker"),
        "",
        "Groyne Piece",
        is_needed=True,
    ),
    Field(
        "holding",
        _lazy("Farm or estate"),
        ("farm", "estate", "holding", "farm name", "boerderij", "bedrijf", "landgoed"),
        "",
        "Saltmere Farm",
    ),
    Field("parish", _lazy("Parish"), ("parish", "village", "town", "gemeente", "plaats", "dorp"), "", "Ravensand"),
    Field(
        "jurisdiction",
        _lazy("Law that applies"),
        ("law", "country", "jurisdiction", "land", "wet"),
        _lazy("A place whose law is known here; left empty, the one chosen below."),
    ),
    Field("land_use", _lazy("Usual land use"), ("land use", "use", "crop", "grondgebruik", "gewas"), "", "arable"),
    Field("owner", _lazy("Owner"), ("owner", "landowner", "landholder", "eigenaar", "grondeigenaar"),
          _lazy("The name of a landholder who is here already."), ""),
    Field("tenant", _lazy("Occupier (tenant)"),
          ("tenant", "occupier", "farmer", "farmed by", "pachter", "huurder", "gebruiker", "boer"),
          _lazy("The name of a landholder who is here already."), ""),
    Field(
        "boundary",
        _lazy("Boundary"),
        ("boundary", "outline", "polygon", "geometry", "wkt", "geojson", "shape", "corners", "grens", "omtrek",
         "hoekpunten", "geometrie"),
        _lazy("Its corners in order with semicolons between (grid references, or latitude and longitude), GeoJSON or "
              "WKT. Empty means that no boundary is drawn yet."),
        "TA 4750 1530; TA 4768 1530; TA 4768 1548; TA 4750 1548",
        joined="\n",
    ),
    Field(
        "area_ha",
        _lazy("Area in hectares"),
        ("area", "area ha", "hectares", "ha", "size", "oppervlakte", "oppervlakte ha", "hectare"),
        _lazy("Held against the boundary, to notice a slip; the area itself is always measured."),
        "3.2",
    ),
    Field(
        "area_acres",
        _lazy("Area in acres"),
        ("area acres", "size acres", "acres", "acreage", "ac"),
        _lazy("Held against the boundary, to notice a slip; the area itself is always measured."),
    ),
    Field(
        "gate",
        _lazy("Way in"),
        ("way in", "gate", "entrance", "grid reference", "grid ref", "ngr", "os grid ref", "ingang", "hek", "toegang",
         "coordinates", "coördinaten", "rd coordinaten"),
        _lazy("One position: the gate to use. A single reference is a place and no boundary, so it goes here."),
        "TA 4752 1531",
    ),
    Field("access", _lazy("Way in, parking, gates"),
          ("access", "parking", "directions", "gate notes", "parkeren", "route", "bereikbaarheid"), joined="\n"),
    Field("postcode", _lazy("Postcode of the nearest road"), ("postcode", "post code", "zip"), "", "HU99 1SM"),
    Field("hazards", _lazy("Known hazards"), ("hazards", "hazard", "dangers", "risks", "gevaren", "risico s"), "",
          "Drain along the east side", joined="\n"),
)  # fmt: skip
