"""The few words that a PDF says of itself, in the language of its report, which it keeps for good."""

from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _


def pdf_words(issued_on: date) -> dict[str, str]:
    """Said in the language spoken now; {page}, {pages}, {alt} and {label} are put in where the pages are set."""
    return {
        "issued": _("Issued %(day)s") % {"day": date_format(issued_on, "j F Y")},
        "page": _("Page {page} of {pages}"),
        "hash": _("Content SHA-256"),
        "nothing": _("Nothing to list."),
        "no_photo": _("Photograph not available: {alt}"),
        "no_side": _("{label}: no photograph"),
        "name": _("Name"),
        "signature": _("Signature"),
        "date": _("Date"),
        "replaced": _("Characters that the fonts of this document lack are written in square brackets."),
    }
