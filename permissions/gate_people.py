"""The gate asked about people alone: their cards and the terms, with no look at seasons, crops, consents and places."""

from collections.abc import Iterable
from datetime import date

from people.models import Club, User
from permissions import gate
from permissions.facts_of import overlap_facts
from permissions.gate_facts import _overlaps, _people, with_overlaps
from permissions.models import Permission
from permissions.models.site import SiteQuerySet


def personal_reasons(
    sites: SiteQuerySet,
    on: date,
    *,
    permission: int,
    people: Iterable[User] = (),
    guests: Iterable[gate.PersonFacts] = (),
) -> list[gate.Reason]:
    """The reasons of gate.PERSONAL that the whole gate would give for these people on `sites`, each once.

    `permission` is the key of the one asked about; the terms of others over the same ground count as well.
    """
    club = Club.objects.only("currency").filter(pk=1).first()
    currency = club.currency if club else "GBP"
    rows = list(sites.only("name", "retired_on").prefetch_related("permissions", with_overlaps()))
    brought = (p for site in rows for p in site.permissions.all() if p.pk == permission)
    asked = next(brought, None) or Permission.objects.get(pk=permission)
    terms = overlap_facts(
        asked, currency=currency
    ).permission  # state, dates and terms: consents say nothing here
    visit = gate.VisitFacts(on=on, people=(*_people(people), *guests))
    found: dict[gate.Reason, None] = {}
    for site in rows:
        facts = gate.SiteFacts(
            key=f"site:{site.pk}", name=site.name, overlaps=tuple(_overlaps(site, on, currency, asked))
        )
        found |= dict.fromkeys(gate.personal(facts, terms, visit))
    return list(found)
