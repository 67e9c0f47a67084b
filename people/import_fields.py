"""The fields of a table of members, with the header words in English and Dutch by which they are guessed."""

from django.utils.translation import gettext_lazy as _lazy

from web.tables.fields import Field

NAME_FIELDS = (
    Field(
        "name",
        _lazy("Name"),
        ("name", "full name", "member", "member name", "surname, first name", "last name, first name",
         "first name, last name", "name and surname", "naam", "volledige naam", "lid", "naam lid",
         "achternaam, voornaam", "voornaam en achternaam", "naam en voornaam"),
        _lazy("The whole name in one column; or give first and last name instead."),
    ),
    Field(
        "first_name",
        _lazy("First name"),
        (
            "first name",
            "firstname",
            "forename",
            "given name",
            "voornaam",
            "roepnaam",
            "voorletters",
            "initials",
        ),
    ),
    Field(
        "infix",
        _lazy("Part between first and last name"),
        ("tussenvoegsel", "tussenvoegsels", "voorvoegsel", "tussen"),
        _lazy("Such as “de” or “van der”."),
    ),
    Field(
        "last_name",
        _lazy("Last name"),
        ("last name", "lastname", "surname", "family name", "achternaam", "familienaam"),
    ),
)  # fmt: skip
EMAIL_WORDS = (
    "email",
    "e-mail",
    "mail",
    "email address",
    "e-mail address",
    "e-mailadres",
    "emailadres",
    "mailadres",
)
PHONE_WORDS = (
    "phone",
    "phone number",
    "telephone",
    "tel",
    "tel no",
    "mobile",
    "mobile phone",
    "cell",
    "telefoon",
    "telefoonnummer",
    "tel nr",
    "mobiel",
    "mobiele telefoon",
    "gsm",
)

MEMBER_FIELDS = (
    *NAME_FIELDS,
    Field(
        "email",
        _lazy("E-mail address"),
        EMAIL_WORDS,
        _lazy("Each person needs one of their own: it is what they sign in with."),
        "ned.spit@ravensand.example",
        is_needed=True,
    ),
    Field("phone", _lazy("Phone"), PHONE_WORDS, "", "07700 900321", joined=" / "),
    Field(
        "emergency_contact",
        _lazy("Emergency contact (name and phone)"),
        ("emergency contact", "emergency", "next of kin", "ice", "emergency phone", "noodcontact", "noodnummer",
         "contact bij nood", "bij nood bellen"),
        "",
        "Wyn Spit 07700 900322",
        joined=" ",
    ),
    Field(
        "vehicle",
        _lazy("Vehicle registration"),
        ("vehicle", "vehicle registration", "car", "car registration", "registration", "number plate", "kenteken",
         "auto"),
    ),
    Field(
        "starts",
        _lazy("Member from"),
        ("member from", "member since", "joined", "date joined", "join date", "start date", "lid sinds", "lid vanaf",
         "ingangsdatum", "aanmelddatum", "inschrijfdatum", "startdatum"),
        is_date=True,
    ),
    Field(
        "ends",
        _lazy("Member until"),
        ("member until", "member to", "expires", "expiry", "expiry date", "membership expires", "paid until",
         "renewal", "renewal date", "lid tot", "lid tot en met", "lid t/m", "geldig t/m", "geldig tot", "vervaldatum",
         "einddatum",
         "betaald tot"),
        is_date=True,
    ),
    Field(
        "insurer",
        _lazy("Insurer or association"),
        ("insurer", "insurance", "insured with", "insurance company", "association", "verzekeraar", "verzekering"),
    ),
    Field(
        "policy_number",
        _lazy("Card or policy number"),
        ("policy number", "policy no", "policy", "card number", "insurance number", "polisnummer", "polis nr"),
    ),
    Field(
        "insured_until",
        _lazy("Insured until"),
        ("insured until", "insured to", "insurance expires", "insurance expiry", "insurance until", "verzekerd tot",
         "verzekerd tot en met"),
        is_date=True,
    ),
)  # fmt: skip
