"""The emergency card: where help must come, who answers the phone, and who is on the field."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from geo.gridref import decimal_degrees, grid_reference
from hunts.models import Attendance, Hunt
from people.models import User
from people.rights import Right
from permissions.models import Site, SiteParty

GATE_ACCURACY_M = 9.0
"""A gate is wider than a fix is wrong; this gives the eight figures that a control room asks for."""


@dataclass(frozen=True, slots=True)
class Phone:
    name: str
    capacity: str
    phone: str


@dataclass(frozen=True, slots=True)
class SiteCard:
    """One site as a control room needs it; `reference` is empty where no gate was entered."""

    site: Site
    reference: str
    degrees: str
    phones: tuple[Phone, ...]


def is_leaders_day(hunt: Hunt, user: User, at: datetime) -> bool:
    """Vehicles, emergency contacts and landholders' phones: for the hunt's leader, on the day itself.

    Also for another leader who is signed in, in case it is the leader who needs help.
    """
    if localdate(at) != hunt.on:
        return False
    if user.pk == hunt.leader_id:
        return True
    here = Attendance.objects.filter(sign_up__hunt=hunt, sign_up__user=user)
    return user.holds(Right.RUN_HUNT) and here.exists()


def site_cards(sites: Iterable[Site], on: datetime, *, with_phones: bool) -> list[SiteCard]:
    """A card for each site; phones only where the caller has checked that the reader may have them."""
    rows = list(sites)
    parties = (
        SiteParty.objects.on(localdate(on)).filter(site__in=rows) if with_phones else SiteParty.objects.none()
    )
    phones: dict[int, list[Phone]] = {}
    for party in parties.select_related("landholder"):
        holder = party.landholder
        name = (
            _("%(holder_name)s, ask for %(holder_contact_name)s")
            % {"holder_name": holder.name, "holder_contact_name": holder.contact_name}
            if holder.contact_name
            else holder.name
        )
        phones.setdefault(party.site_id, []).append(Phone(name, party.get_capacity_display(), holder.phone))
    return [_card(site, tuple(phones.get(site.pk, ()))) for site in rows]


def _card(site: Site, phones: tuple[Phone, ...]) -> SiteCard:
    lon, lat = site.gate_lon, site.gate_lat
    if lon is None or lat is None:
        return SiteCard(site, "", "", phones)
    reference = grid_reference(lon, lat, accuracy_m=GATE_ACCURACY_M, country=site.country)
    return SiteCard(site, reference, decimal_degrees(lon, lat, accuracy_m=1.0), phones)
