"""Which agreement stands for a permission, who signs it, whether its text is still true, and what is signed."""

import json
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from typing import Any

from django.utils.translation import gettext as _

from people.languages import speaking
from permissions.models import Landholder, Permission, Site, SiteParty
from permissions.models.site import Capacity, Tenure
from reports.blocks import Report
from reports.build.agreement import agreement_report
from reports.content import from_data, to_data
from reports.models import AgreementIssue, SignatureRequest
from reports.plain import plain_report
from tongue import all_of


@dataclass(frozen=True)
class Signer:
    """A landholder who may sign in one capacity for some of the sites. `suggested`: their word is needed."""

    landholder: Landholder
    capacity: Capacity
    acts_for: str
    sites: tuple[Site, ...]
    suggested: bool

    @property
    def key(self) -> str:
        return f"{self.landholder.pk}:{self.capacity.value}"

    @property
    def words(self) -> str:
        role = (
            _("agent for %(acts_for)s") % {"acts_for": self.acts_for}
            if self.acts_for
            else self.capacity.label.lower()
        )
        return _("%(landholder_name)s, %(role)s, for %(sites)s") % {
            "landholder_name": self.landholder.name,
            "role": role,
            "sites": ", ".join(site.code for site in self.sites),
        }


def signers_of(permission: Permission, on: date) -> list[Signer]:
    """Owners, occupiers of let land and agents who act for somebody, each once for each capacity; one query.

    Suggested are the agents whose authority is on record and those for whom no such agent acts.
    """
    parties = (
        SiteParty.objects.on(on)
        .filter(site__in=permission.sites.all())
        .select_related("landholder", "site", "acts_for")
    )
    rows = [p for p in parties.defer("site__boundary").order_by("site__code", "pk") if _may_sign(p)]
    spoken_for = {(p.site_id, p.acts_for_id) for p in rows if p.capacity == Capacity.AGENT and p.authority}
    grouped: dict[tuple[int, str], list[SiteParty]] = {}
    for party in rows:
        grouped.setdefault((party.landholder_id, party.capacity), []).append(party)
    signers = [_signer(group, spoken_for) for group in grouped.values()]
    return sorted(signers, key=lambda s: (list(Capacity).index(s.capacity), s.landholder.name))


def _may_sign(party: SiteParty) -> bool:
    if party.capacity == Capacity.OCCUPIER:
        return party.site.tenure != Tenure.OWNER_OCCUPIED
    return party.capacity == Capacity.OWNER or (
        party.capacity == Capacity.AGENT and party.acts_for_id is not None
    )


def _signer(group: list[SiteParty], spoken_for: set[tuple[int, int | None]]) -> Signer:
    first, capacity = group[0], Capacity(group[0].capacity)
    if capacity is Capacity.AGENT:
        suggested = any(party.authority for party in group)
    else:
        suggested = any((party.site_id, party.landholder_id) not in spoken_for for party in group)
    names = dict.fromkeys(party.acts_for.name for party in group if party.acts_for)
    sites = tuple({party.site_id: party.site for party in group}.values())
    return Signer(first.landholder, capacity, all_of(names), sites, suggested)


def draft_of(permission: Permission, on: date) -> Report:
    """The agreement as it would be sent on `on`: under the last issue's number if that says the same."""
    last = latest_issue(permission)
    number = f"A-{permission.reference}-{last.issue + 1 if last else 1}"
    with speaking(_language(permission, on)):
        report = agreement_report(permission, number=number, on=on)
    if last is not None and says(last.content) == says(to_data(report)):
        return from_data(last.content)
    return report


def _language(permission: Permission, on: date) -> str:
    """The language that all who may sign it share, else the club's: one text stands for all of them."""
    theirs = {signer.landholder.language for signer in signers_of(permission, on)}
    return theirs.pop() if len(theirs) == 1 else ""


def latest_issue(permission: Permission) -> AgreementIssue | None:
    return AgreementIssue.objects.filter(permission=permission).order_by("-issue").first()


def is_current(issue: AgreementIssue, on: date) -> bool:
    """Is this the last issue, and do the terms, the land and the parties still read as it says?"""
    last = latest_issue(issue.permission)
    if last is None or last.pk != issue.pk:
        return False
    with speaking(issue.content["language"].lower()):
        now = agreement_report(issue.permission, number=issue.number, on=on)
    return says(issue.content) == says(to_data(now))


def says(content: dict[str, Any]) -> str:
    """What an agreement says, without its own number and date."""
    return json.dumps({k: v for k, v in content.items() if k not in {"number", "issued_on"}}, sort_keys=True)


def newer_request(request: SignatureRequest, on: date) -> SignatureRequest | None:
    """The same signer's request for the text that stands now, where the club has sent one."""
    last = latest_issue(request.issue.permission)
    if last is None or last.pk == request.issue_id or not is_current(last, on):
        return None
    rows = last.requests.unrevoked()
    return rows.filter(landholder=request.landholder, capacity=request.capacity).first()


def statement_of(request: SignatureRequest) -> str:
    """The sentence that the signer ticks, in the language of what they sign."""
    with speaking(request.issue.content["language"].lower()):
        return _statement(request)


def _statement(request: SignatureRequest) -> str:
    fields = ", ".join(f"{site.name} ({site.code})" for site in request.sites.order_by("code"))
    role = (
        _("agent for %(request_acts_for)s") % {"request_acts_for": request.acts_for}
        if request.acts_for
        else Capacity(request.capacity).label.lower()
    )
    return _("I agree as %(role)s to agreement %(issue_number)s for %(fields)s.") % {
        "role": role,
        "issue_number": request.issue.number,
        "fields": fields,
    }


def signed_text(request: SignatureRequest) -> str:
    """The exact text a signature stands under: the whole agreement, its hash, and the sentence ticked."""
    content = request.issue.content
    with speaking(content["language"].lower()):
        words = plain_report(from_data(content))
    return f"{words}\nContent SHA-256 {request.issue.content_sha256}\n\n{statement_of(request)}"


def digest_of(text: str) -> str:
    """SHA-256 of the text in UTF-8, 64 hexadecimal figures."""
    return sha256(text.encode()).hexdigest()
