"""Landholders, their say over sites, and their private links."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import localdate, now

from people.models import AuditEntry, User
from permissions import actions
from permissions.actions import PartyError, StillNeededError
from permissions.gate import Answer, ReasonCode
from permissions.gate_facts import answers_for
from permissions.links import LinkError, key_of, open_link
from permissions.models import SiteParty
from tests import make


def test_the_trail_never_holds_a_landholders_name_or_contact(secretary: User) -> None:
    row = actions.add_landholder(
        by=secretary,
        at=now(),
        client_id=uuid4(),
        name="Ada Warp",
        email="ada@saltmere.example",
        phone="01964 1",
    )
    actions.change_landholder(row.pk, by=secretary, at=now(), phone="01964 2")
    kept = " ".join(f"{line.label} {line.changes}" for line in AuditEntry.objects.all())
    assert "Ada" not in kept
    assert "saltmere" not in kept
    assert "01964" not in kept


def test_a_leader_may_not_add_one(leader: User) -> None:
    with pytest.raises(PermissionDenied):
        actions.add_landholder(by=leader, at=now(), client_id=uuid4(), name="Ada Warp")


def test_a_link_works_until_it_is_revoked(secretary: User) -> None:
    owner, at = make.landholder(), now()
    make.site(owner=owner)
    link = actions.make_link(owner, by=secretary, at=at, expires_at=at + timedelta(9), client_id=uuid4())
    assert open_link(key_of(link), at=at).landholder == owner
    actions.revoke_link(link.pk, by=secretary, at=at)
    with pytest.raises(LinkError, match="withdrawn"):
        open_link(key_of(link), at=at)


def test_a_link_ends_by_itself_and_an_altered_address_opens_nothing(secretary: User) -> None:
    at = now()
    link = actions.make_link(
        make.landholder(), by=secretary, at=at, expires_at=at + timedelta(9), client_id=uuid4()
    )
    with pytest.raises(LinkError, match="opens nothing"):
        open_link(key_of(link), at=at + timedelta(9))
    with pytest.raises(LinkError, match="opens nothing"):
        open_link(key_of(link)[:-1] + "!", at=at)


def test_the_link_form_twice_is_one_link(secretary: User) -> None:
    owner, at, key = make.landholder(), now(), uuid4()
    for _ in range(2):
        actions.make_link(owner, by=secretary, at=at, expires_at=at + timedelta(9), client_id=key)
    assert owner.links.count() == 1


def test_nobody_is_their_own_agent(secretary: User) -> None:
    site, owner = make.site(by=secretary), make.landholder(name="Ada Warp")
    with pytest.raises(PartyError, match="Ada Warp"):
        actions.add_party(site.pk, by=secretary, at=now(), landholder=owner, capacity="agent", acts_for=owner)


def test_an_agents_consent_counts_with_authority_and_asks_without(secretary: User) -> None:
    owner, agent = make.landholder(), make.landholder(name="Gil Staithe")
    site = make.site(by=secretary, owner=owner)
    permission = make.permission(site, consents=False)
    make.consent(permission, agent, capacity="agent")
    actions.add_party(site.pk, by=secretary, at=now(), landholder=agent, capacity="agent", acts_for=owner)
    decision = answers_for([site], localdate())[site.pk]
    assert decision.reasons[0].code is ReasonCode.AGENT_WITHOUT_AUTHORITY
    actions.add_party(
        site.pk,
        by=secretary,
        at=now(),
        landholder=agent,
        capacity="agent",
        acts_for=owner,
        authority="letter",
    )
    assert answers_for([site], localdate())[site.pk].answer is Answer.OPEN


def test_a_say_ended_before_it_began_is_refused(secretary: User) -> None:
    site, today = make.site(by=secretary), localdate()
    party = actions.add_party(
        site.pk, by=secretary, at=now(), landholder=make.landholder(), capacity="occupier", since=today
    )
    with pytest.raises(PartyError, match="before the first"):
        actions.end_party(party.pk, by=secretary, at=now(), on=today - timedelta(1))
    assert SiteParty.objects.get(pk=party.pk).until is None


def test_details_stay_while_a_permission_rests_on_them_and_then_go_with_the_links(secretary: User) -> None:
    owner, today = make.landholder(name="Ada Warp", email="ada@saltmere.example"), localdate()
    permission = make.permission(make.site(by=secretary, owner=owner))
    link = actions.make_link(
        owner, by=secretary, at=now(), expires_at=now() + timedelta(9), client_id=uuid4()
    )
    with pytest.raises(StillNeededError, match=permission.reference):
        actions.erase_landholder(owner.pk, by=secretary, at=now(), on=today)
    consent = permission.consents.get()
    actions.withdraw_consent(consent.pk, by=secretary, at=now(), on=today)
    for _ in range(2):
        erased = actions.erase_landholder(owner.pk, by=secretary, at=now(), on=today)
    assert (erased.name, erased.email, erased.phone) == (f"Landholder {owner.pk} (erased)", "", "")
    link.refresh_from_db()
    assert link.revoked_at is not None
    consent.refresh_from_db()
    assert consent.given_on is not None
    kept = " ".join(f"{line.label} {line.changes}" for line in AuditEntry.objects.all())
    assert "Ada" not in kept
