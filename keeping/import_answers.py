"""What is asked beside the columns of a table, by its kind: what a file leaves open and nobody should guess."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _lazy

from hunts.models.hunt import UNRECORDED, PastBasis
from people.forms import DateField, year_from
from people.import_members import LEAVE_OUT
from people.laws import places
from people.models import Club, TableKind
from permissions.models.site import Capacity

WKT_SYSTEMS = [
    ("", _lazy("Ask me where it is not said")),
    ("EPSG:4326", _lazy("Longitude and latitude (WGS84)")),
    ("EPSG:27700", _lazy("British National Grid, in metres")),
    ("EPSG:29903", _lazy("Irish Grid, in metres")),
    ("EPSG:2157", _lazy("Irish Transverse Mercator, in metres")),
    ("EPSG:28992", _lazy("Dutch RD New, in metres")),
    ("EPSG:25832", _lazy("UTM zone 32N (ETRS89), in metres")),
    ("EPSG:25833", _lazy("UTM zone 33N (ETRS89), in metres")),
]


def answer_fields(kind: str, today: date) -> dict[str, forms.Field]:
    """The fields of the form for this kind, in order."""
    made: dict[str, Any] = {
        TableKind.MEMBERS.value: _members,
        TableKind.LANDHOLDERS.value: _landholders,
        TableKind.SITES.value: _sites,
        TableKind.FINDS.value: _finds,
    }
    fields: dict[str, forms.Field] = made[kind](today)
    return fields


def _members(today: date) -> dict[str, forms.Field]:
    starts, ends = year_from(today)
    return {
        "starts": DateField(label=_lazy("Member from, where the file does not say"), initial=starts),
        "ends": DateField(label=_lazy("Member until, where the file does not say"), initial=ends),
        "insurer": forms.CharField(
            label=_lazy("Insurer, where the file does not say"),
            max_length=120,
            required=False,
            help_text=_lazy(
                "Of rows with a last day of insurance, such as the association that covers the club."
            ),
        ),
        "no_email": forms.ChoiceField(
            label=_lazy("Rows without an e-mail address"),
            choices=[("", _lazy("Tell me, so that I add one")), (LEAVE_OUT, _lazy("Leave these rows out"))],
            required=False,
            help_text=_lazy("An account needs an address of its own."),
        ),
        "invite": forms.BooleanField(
            label=_lazy("Send everybody new an invitation at once"),
            required=False,
            help_text=_lazy(
                "Without the tick no letter goes out. They are on the list and can be invited later, one by one from "
                "their page. Nobody gets more than the rights of a member by an import."
            ),
        ),
    }


def _landholders(today: date) -> dict[str, forms.Field]:
    choices = [(c.value, c.label) for c in Capacity if c is not Capacity.AGENT]
    return {
        "capacity": forms.ChoiceField(
            label=_lazy("Capacity, where the file does not say"),
            choices=choices,
            initial=Capacity.OWNER.value,
            help_text=_lazy("Of rows that name sites. Owner and tenant decide; the others are only told."),
        )
    }


def _sites(today: date) -> dict[str, forms.Field]:
    club = Club.objects.filter(pk=1).first()
    return {
        "jurisdiction": forms.ChoiceField(
            label=_lazy("Law that applies, where the file does not say"),
            choices=places,
            initial=club.jurisdiction if club else "england",
        ),
        "wkt_system": forms.ChoiceField(
            label=_lazy("Numbers in WKT boundaries are"), choices=WKT_SYSTEMS, required=False
        ),
    }


def _finds(today: date) -> dict[str, forms.Field]:
    return {
        "past_basis": forms.ChoiceField(
            label=_lazy("Permission of outings from before the records here"),
            choices=[(value.value, value.label) for value in UNRECORDED],
            initial=PastBasis.UNKNOWN.value,
        ),
        "past_why": forms.CharField(
            label=_lazy("What is known of it, and from where"),
            max_length=300,
            required=False,
            help_text=_lazy(
                "Needed where rows name no hunt. For example: Mr Warp said yes at the gate; from the notebook."
            ),
        ),
    }
