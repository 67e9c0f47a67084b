"""The gate asked about people alone: their cards and the terms, with no look at seasons, crops, consents and places."""

from collections.abc import Iterable
from datetime import date

from people.models import Club, User
from permissions import gate
from permissions.facts_of import overlap_facts, person_facts
from permissions.gate_facts import named_in, overlaps_of, with_overlaps
from permissions.models import Permission
from permissions.models.site import SiteQuerySet
from permissions.terms import WhoMay


def personal_reasons(
    sites: SiteQuerySet,
    on: date,
    *,
    permission: int,
    people: Iterable[User] = (),
    guests: Iterable[gate.PersonFacts] = (),
) -> list[gate.Reason]:
    """The reasons of gate.PERSONAL that the whole gate would give for these people on `sites`, each once.

    `permission` is the key of the one asked about; the terms of others over the same ground count as well. `people`
    should come with memberships and insurances.
    """
    club = Club.objects.only("currency").filter(pk=1).first()
    currency = club.currency if club else "GBP"
    rows = list(sites.only("name", "retired_on").prefetch_related("permissions", with_overlaps()))
    brought = (p for site in rows for p in site.permissions.all() if p.pk == permission)
    asked = next(brought, None) or Permission.objects.get(pk=permission)
    terms = overlap_facts(asked, currency=currency).permission  # consents say nothing of people
    grounds = [
        gate.SiteFacts(f"site:{site.pk}", site.name, overlaps=tuple(overlaps_of(site, on, currency, asked)))
        for site in rows
    ]
    agreements = [terms, *(overlap.permission for ground in grounds for overlap in ground.overlaps)]
    visit = gate.VisitFacts(on=on, people=(*_people_for(agreements, people), *guests))
    return list(dict.fromkeys(r for ground in grounds for r in gate.personal(ground, terms, visit)))


def _people_for(
    agreements: Iterable[gate.PermissionFacts], people: Iterable[User]
) -> Iterable[gate.PersonFacts]:
    """The people with their cards; who is named where is asked only if one of the agreements goes by names."""
    rows = list(people)
    by_name = any(agreement.terms.who is WhoMay.NAMED_ONLY for agreement in agreements)
    named = named_in([row.pk for row in rows]) if by_name else {}
    return [person_facts(row, named_in=frozenset(named.get(row.pk, ()))) for row in rows]
