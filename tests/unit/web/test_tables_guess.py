"""Columns of real-looking lists, English and Dutch: what is guessed, and what is left for a person."""

import pytest

from finds.import_fields import FIND_FIELDS
from people.import_fields import MEMBER_FIELDS
from permissions.import_fields import LANDHOLDER_FIELDS, SITE_FIELDS
from web.tables.fields import Field
from web.tables.guess import Guesser

pytestmark = pytest.mark.once
LISTS = [
    (
        MEMBER_FIELDS,
        [
            "Surname",
            "First Name",
            "E-mail",
            "Mobile",
            "Next of kin",
            "Date joined",
            "Paid until",
            "Shoe size",
        ],
        ["last_name", "first_name", "email", "phone", "emergency_contact", "starts", "ends", ""],
    ),
    (
        MEMBER_FIELDS,
        [
            "Voornaam",
            "Tussenvoegsel",
            "Achternaam",
            "E-mailadres",
            "Telefoonnummer",
            "Kenteken",
            "Lid sinds",
            "Lid t/m",
        ],
        ["first_name", "infix", "last_name", "email", "phone", "vehicle", "starts", "ends"],
    ),
    (
        LANDHOLDER_FIELDS,
        ["Landowner", "Contact person", "Tel. no.", "E-MAIL", "Address 1", "Town", "Post code", "Remarks"],
        ["name", "contact_name", "phone", "email", "address", "address", "postcode", "notes"],
    ),
    (
        LANDHOLDER_FIELDS,
        ["Grondeigenaar", "Contactpersoon", "Straat", "Huisnr.", "Woonplaats", "Perceelcode", "Hoedanigheid"],
        ["name", "contact_name", "address", "address", "address", "sites", "capacity"],
    ),
    (
        SITE_FIELDS,
        [
            "Field code",
            "Field name",
            "Farm",
            "Area (ha)",
            "Grid ref",
            "Polygon (WKT)",
            "Hazards",
            "Farmed by",
        ],
        ["code", "name", "holding", "area_ha", "gate", "boundary", "hazards", "tenant"],
    ),
    (
        SITE_FIELDS,
        ["Nr", "Perceelnaam", "Eigenaar", "Pachter", "Oppervlakte (ha)", "Gevaren"],
        ["code", "name", "owner", "tenant", "area_ha", "hazards"],
    ),
    (
        FIND_FIELDS,
        ["Ref", "Date found", "Found by", "Field", "Item", "Metal", "Weight (g)", "Depth", "OS grid ref"],
        [
            "own reference",
            "found on",
            "finder",
            "site",
            "object",
            "materials",
            "weight (g)",
            "depth (cm)",
            "position",
        ],
    ),
    (
        FIND_FIELDS,
        [
            "Vondstnummer",
            "Datum",
            "Vinder",
            "Akker",
            "Voorwerp",
            "Materiaal",
            "Gewicht",
            "Diepte (cm)",
            "Coördinaten",
        ],
        [
            "own reference",
            "found on",
            "finder",
            "site",
            "object",
            "materials",
            "weight (g)",
            "depth (cm)",
            "position",
        ],
    ),
]


@pytest.mark.parametrize(("fields", "headers", "expected"), LISTS)
def test_columns_are_guessed_by_their_words(
    fields: tuple[Field, ...], headers: list[str], expected: list[str]
) -> None:
    assert Guesser(fields).guess(headers) == expected


def test_no_field_is_given_out_twice_and_the_best_fit_is_served_first() -> None:
    assert Guesser(MEMBER_FIELDS).guess(["Old e-mail address", "E-mail"]) == ["", "email"]


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ([(1, ["Name", "E-mail"]), (2, ["Mo", "mo@x.example"])], (1, True)),
        ([(1, ["Ravensand & District Search Club"]), (3, ["Name", "E-mail"]), (4, ["Mo", "x"])], (3, True)),
        ([(1, ["aa", "bb"]), (2, ["cc", "dd"])], (1, False)),
    ],
)
def test_the_header_is_found_below_a_title_and_asked_where_no_word_is_known(
    lines: list[tuple[int, list[str]]], expected: tuple[int, bool]
) -> None:
    assert Guesser(MEMBER_FIELDS).header_line(lines) == expected


@pytest.mark.parametrize("fields", [MEMBER_FIELDS, LANDHOLDER_FIELDS, SITE_FIELDS, FIND_FIELDS])
def test_every_field_is_known_by_its_own_words(fields: tuple[Field, ...]) -> None:
    """The label that our own sample writes over the column is guessed as that column."""
    labels = [str(field.label) for field in fields]
    assert Guesser(fields).guess(labels) == [field.key for field in fields]
