"""Say who has a say over a site, in what capacity, and until when."""

from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from people import audit
from people.models import User
from people.rights import Right, require
from permissions.models import Landholder, Site, SiteParty


class PartyError(Exception):
    """The party cannot be recorded as asked; the sentence says why."""


@transaction.atomic
def add_party(
    site_id: int, *, by: User, at: datetime, landholder: Landholder, capacity: str, **fields: Any
) -> SiteParty:
    """Give a landholder a say over a site. The same landholder in the same capacity is one row: it is renewed."""
    require(by, Right.MANAGE_PERMISSIONS)
    site = Site.objects.select_for_update().get(pk=site_id)
    acts_for = fields.get("acts_for")
    if acts_for is not None and acts_for.pk == landholder.pk:
        raise PartyError(
            _("%(landholder_name)s cannot be agent for %(landholder_name)s; choose whom the agent acts for.")
            % {"landholder_name": landholder.name}
        )
    party, made = SiteParty.objects.update_or_create(
        site=site, landholder=landholder, capacity=capacity, defaults={"until": None, **fields}
    )
    verb = "party.add" if made else "party.change"
    audit.record(verb, site, by=by, at=at, landholder=landholder.pk, capacity=capacity)
    return party


@transaction.atomic
def end_party(party_id: int, *, by: User, at: datetime, on: date) -> SiteParty:
    """End a say: `on` is the last day on which it counts. Ending it twice keeps the earlier day."""
    require(by, Right.MANAGE_PERMISSIONS)
    party = SiteParty.objects.select_for_update(of=("self",)).select_related("site").get(pk=party_id)
    if party.until is not None and party.until <= on:
        return party
    if party.since is not None and on < party.since:
        raise PartyError(
            _("The last day (%(on)s) is before the first (%(party_since)s); give a later one.")
            % {"on": date_format(on, "j M Y"), "party_since": date_format(party.since, "j M Y")}
        )
    party.until = on
    party.save(update_fields=["until"])
    audit.record("party.end", party.site, by=by, at=at, landholder=party.landholder_id, until=str(on))
    return party
