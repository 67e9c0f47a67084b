"""What an agreement is written from: a permission with its land, parties and terms, read at once."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch
from django.utils.translation import gettext as _

from people.models import Club
from permissions.agreed import clauses_of
from permissions.models import Permission, Site, SiteParty
from permissions.models.site import Capacity
from reports.blocks import Block, Bullets, Paragraph


@dataclass(frozen=True, slots=True)
class Draft:
    """What the clauses are written from: all read before, no query afterwards."""

    permission: Permission
    club: Club
    sites: list[Site]
    parties: list[SiteParty]
    terms: dict[str, list[str]]
    named: list[str]


def read_draft(permission: Permission, on: date) -> Draft:
    club = Club.objects.filter(pk=1).first() or Club(name=_("The club"))
    parties = SiteParty.objects.on(on).select_related("landholder", "acts_for").order_by("capacity", "pk")
    sites = permission.sites.prefetch_related(
        Prefetch("parties", parties), "no_go", "closed_periods", "protected_checks"
    )
    rows = list(sites.order_by("code"))
    terms: dict[str, list[str]] = {}
    for clause in clauses_of(permission, currency=club.currency):
        terms.setdefault(clause.topic, []).append(clause.words)
    people = permission.named_people.order_by("name") if permission.named_only else ()
    named = [person.name for person in people]
    return Draft(permission, club, rows, [p for s in rows for p in s.parties.all()], terms, named)


def said(draft: Draft, *topics: str, otherwise: str) -> list[Block]:
    words = [sentence for topic in topics for sentence in draft.terms.get(topic, [])]
    return [Paragraph(" ".join(words) or otherwise)]


def party_name(party: SiteParty) -> str:
    """The landholder, and for an agent whom they act for."""
    if party.capacity != Capacity.AGENT:
        return party.landholder.name
    return _("%(landholder_name)s, for %(value)s") % {
        "landholder_name": party.landholder.name,
        "value": party.acts_for.name if party.acts_for else _("whom is not recorded"),
    }


def each_site(draft: Draft, words: Callable[[Site], str]) -> list[Block]:
    items = tuple(f"{site.code} {site.name}: {words(site)}" for site in draft.sites if words(site))
    return [Bullets(items)] if items else []
