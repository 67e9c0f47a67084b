"""Agreements: frozen when sent, signed once under the exact text, refused when outdated, and the gate follows."""

from dataclasses import replace
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core import mail
from django.core.exceptions import PermissionDenied
from django.utils.timezone import localdate, now

from hunts.gate import gate_now
from people.models import AuditEntry, Letter, User
from permissions import actions as land
from permissions.gate import Answer, ReasonCode
from permissions.gate_facts import answers_for
from permissions.models import Consent, Permission, Site, SiteParty
from permissions.models.site import Capacity, Tenure
from permissions.states import State
from reports import actions
from reports.actions import AgreementError, OutdatedError
from reports.agreements import digest_of, draft_of, newer_request, signed_text, signers_of
from reports.models import AgreementIssue, LandholderAnswer, Signature, SignatureRequest
from tests import make
from web.append_only import AppendOnlyError


@pytest.fixture
def site(secretary: User) -> Site:
    """A let field: owner and occupier must both agree (facts/trade.md 1.1)."""
    make.club()
    owner = make.landholder(name="Ada Warp", email="ada@saltmere.example")
    made = make.site(owner=owner, by=secretary, tenure=Tenure.LET)
    tenant = make.landholder(name="Tom Groundsel", email="tom@saltmere.example")
    SiteParty.objects.create(site=made, landholder=tenant, capacity=Capacity.OCCUPIER)
    return made


@pytest.fixture
def permission(site: Site) -> Permission:
    return make.permission(site, consents=False, state=State.DRAFT, title="Saltmere stubble")


def sign(request: SignatureRequest, **fields: Any) -> Signature:
    values = {
        "client_id": uuid4(),
        "name": request.landholder.name,
        "read_sha256": digest_of(signed_text(request)),
        "drawn": [],
    } | fields
    return actions.sign_agreement(request.pk, via="signing link", at=now(), **values)


def gate_of(site: Site) -> Answer:
    return answers_for([site], localdate())[site.pk].answer


def test_the_gate_opens_with_the_last_required_signature(
    secretary: User, site: Site, permission: Permission
) -> None:
    first, second = make.agreement(permission, by=secretary)
    permission.refresh_from_db()
    assert permission.state == State.ASKED
    sign(first)
    permission.refresh_from_db()
    assert (permission.state, gate_of(site)) == (State.ASKED, Answer.SHUT)
    sign(second)
    permission.refresh_from_db()
    assert (permission.state, gate_of(site)) == (State.GRANTED, Answer.OPEN)


def test_a_signature_makes_the_consent_of_the_text(
    secretary: User, site: Site, permission: Permission
) -> None:
    signature = sign(make.agreement(permission, by=secretary)[0], name="Ada M Warp")
    consent = signature.consent
    assert consent.evidence_kind == Consent.Evidence.ONLINE
    assert (consent.starts, consent.ends, consent.given_on) == (
        permission.starts,
        permission.ends,
        localdate(),
    )
    assert list(consent.sites.all()) == [site]
    assert signature.text.endswith(
        f"I agree as owner to agreement {signature.request.issue.number} for {site.name} ({site.code})."
    )
    assert "1. The parties" in signature.text
    assert "20. Signatures" in signature.text
    assert signature.text_sha256 == digest_of(signature.text)
    entry = AuditEntry.objects.get(verb="consent.sign")
    assert (entry.by, entry.via) == (None, "signing link")


def test_signing_twice_is_once(secretary: User, permission: Permission) -> None:
    request = make.agreement(permission, by=secretary)[0]
    again = sign(request)
    assert sign(request, name="Somebody Else") == again
    assert (Signature.objects.count(), Consent.objects.count()) == (1, 1)


def test_an_agreement_is_sent_once_and_mailed_with_a_second_form_of_html(
    secretary: User, permission: Permission, django_capture_on_commit_callbacks: Any
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        make.agreement(permission, by=secretary)
        make.agreement(permission, by=secretary)
    assert (AgreementIssue.objects.count(), SignatureRequest.objects.count()) == (1, 2)
    assert sorted(message.to[0] for message in mail.outbox) == [
        "ada@saltmere.example",
        "tom@saltmere.example",
    ]
    message: Any = mail.outbox[0]
    assert message.alternatives[0].mimetype == "text/html"
    assert message.reply_to == [secretary.email]
    assert "https://club.example/s/" in message.body
    for words in (message.body, message.alternatives[0].content):
        assert "53.6" not in words
        assert "0.15" not in words


def test_changed_terms_are_not_signed_and_the_new_text_is_offered(
    secretary: User, permission: Permission
) -> None:
    request = make.agreement(permission, by=secretary)[0]
    Permission.objects.filter(pk=permission.pk).update(depth_limit_cm=30)
    request = SignatureRequest.objects.get(pk=request.pk)
    with pytest.raises(OutdatedError, match="changed after it was sent"):
        sign(request)
    assert newer_request(request, localdate()) is None
    permission.refresh_from_db()
    newer = make.agreement(permission, by=secretary)[0]
    assert newer.issue.issue == 2
    assert newer_request(SignatureRequest.objects.get(pk=request.pk), localdate()) == newer
    with pytest.raises(OutdatedError):
        sign(SignatureRequest.objects.get(pk=request.pk))
    assert sign(newer).request == newer


def test_a_text_other_than_the_one_read_is_not_signed(secretary: User, permission: Permission) -> None:
    request = make.agreement(permission, by=secretary)[0]
    with pytest.raises(OutdatedError):
        sign(request, read_sha256=digest_of("another text"))
    assert Consent.objects.count() == 0


def test_an_address_taken_back_or_expired_signs_nothing(secretary: User, permission: Permission) -> None:
    first, second = make.agreement(permission, by=secretary)
    actions.revoke_request(first.pk, by=secretary, at=now())
    SignatureRequest.objects.filter(pk=second.pk).update(expires_at=now() - timedelta(1))
    for request in (first, second):
        with pytest.raises(AgreementError, match="no longer signs"):
            sign(request)
    assert Signature.objects.count() == 0


def test_declining_keeps_the_words_tells_the_secretary_and_leaves_the_gate_shut(
    secretary: User, site: Site, permission: Permission, django_capture_on_commit_callbacks: Any
) -> None:
    request = make.agreement(permission, by=secretary)[0]
    with django_capture_on_commit_callbacks(execute=True):
        actions.decline_agreement(request.pk, via="signing link", at=now(), why="Not before harvest")
    request.refresh_from_db()
    assert request.declined_why == "Not before harvest"
    assert [m.to for m in mail.outbox] == [[secretary.email]]
    assert gate_of(site) is Answer.SHUT
    assert sign(request).name == "Ada Warp"  # they may still change their mind
    with pytest.raises(AgreementError, match="You have signed"):
        actions.decline_agreement(request.pk, via="signing link", at=now(), why="no")


def test_an_answer_that_was_asked_for_is_filled_in(secretary: User, permission: Permission) -> None:
    request = make.agreement(permission, by=secretary)[0]
    asked = make.consent(permission, request.landholder, given_on=None, evidence_kind="verbal")
    assert sign(request).consent == asked
    asked.refresh_from_db()
    assert (asked.given_on, asked.evidence_kind) == (localdate(), "online")


def test_an_agent_with_authority_signs_for_the_owner(
    secretary: User, site: Site, permission: Permission
) -> None:
    owner = site.parties.get(capacity="owner").landholder
    agent = make.landholder(name="Fenwick Estates")
    SiteParty.objects.create(
        site=site, landholder=agent, capacity="agent", acts_for=owner, authority="letter of 2 May"
    )
    chosen = [signer for signer in signers_of(permission, localdate()) if signer.suggested]
    assert [(s.landholder.name, s.acts_for) for s in chosen] == [
        ("Tom Groundsel", ""),
        ("Fenwick Estates", "Ada Warp"),
    ]
    requests = {r.landholder.name: r for r in make.agreement(permission, by=secretary)}
    signature = sign(requests["Fenwick Estates"])
    assert "I agree as agent for Ada Warp" in signature.statement
    sign(requests["Tom Groundsel"])
    assert gate_of(site) is Answer.OPEN


def test_only_those_who_keep_permissions_send_and_take_back(
    leader: User, secretary: User, permission: Permission
) -> None:
    with pytest.raises(PermissionDenied):
        make.agreement(permission, by=leader)
    request = make.agreement(permission, by=secretary)[0]
    with pytest.raises(PermissionDenied):
        actions.revoke_request(request.pk, by=leader, at=now())


def test_an_ended_permission_is_neither_sent_nor_signed(secretary: User, permission: Permission) -> None:
    request = make.agreement(permission, by=secretary)[0]
    Permission.objects.filter(pk=permission.pk).update(state=State.REFUSED)
    with pytest.raises(land.NotOpenError, match="refused"):
        sign(SignatureRequest.objects.get(pk=request.pk))
    with pytest.raises(AgreementError, match="refused"):
        make.agreement(permission, by=secretary)


def test_what_was_sent_and_signed_cannot_be_changed(secretary: User, permission: Permission) -> None:
    signature = sign(make.agreement(permission, by=secretary)[0])
    for row in (signature, signature.request.issue):
        with pytest.raises(AppendOnlyError):
            row.save()
        with pytest.raises(AppendOnlyError):
            row.delete()


def test_the_text_has_the_twenty_clauses_and_the_terms(permission: Permission, site: Site) -> None:
    """Source: the twenty parts of a written agreement in facts/trade.md 1.2 (common practice)."""
    permission.depth_limit_cm, permission.other_terms, permission.named_only = 30, "Shut the beck gate", False
    report = draft_of(permission, localdate())
    headings = [block.text for block in report.blocks if type(block).__name__ == "Heading"]
    assert [text.split(".")[0] for text in headings] == [str(number) for number in range(1, 21)]
    words = str(report)
    for part in ("Ada Warp", "Tom Groundsel", site.code, "deeper than 30 cm", "Shut the beck gate", "Owner"):
        assert part in words
    assert report.number == f"A-{permission.reference}-1"


def test_two_texts_sent_at_the_same_moment_do_not_share_a_number(
    secretary: User, permission: Permission
) -> None:
    report = draft_of(permission, localdate())
    make.agreement(permission, by=secretary)
    values = {"by": secretary, "at": now(), "expires_at": now() + timedelta(9), "address_of": str}
    other = replace(report, title="Another text")
    with pytest.raises(AgreementError, match="a moment ago"):
        actions.send_agreement(permission.pk, other, b"%PDF-", signers_of(permission, localdate()), **values)


class TestWithdrawal:
    @pytest.fixture
    def granted(self, secretary: User, permission: Permission) -> Permission:
        for request in make.agreement(permission, by=secretary):
            sign(request)
        permission.refresh_from_db()
        return permission

    def withdraw(self, permission: Permission, by: User, **fields: Any) -> LandholderAnswer:
        consent = permission.consents.get(capacity="owner")
        link = land.make_link(
            consent.landholder, by=by, at=now(), expires_at=now() + timedelta(9), client_id=uuid4()
        )
        values = {"client_id": uuid4(), "words": "Ewes in the field"} | fields
        return actions.landholder_withdraws(link, permission, via="link", at=now(), **values)

    def test_it_shuts_the_gate_at_once_and_the_hunt_shows_it(
        self, secretary: User, site: Site, granted: Permission, leader: User
    ) -> None:
        hunt = make.hunt(site, permission_=granted, leader=leader, on=make.days(5), state="planned")
        assert gate_now(hunt, at=now()).answer is Answer.OPEN
        self.withdraw(granted, secretary)
        said = gate_now(hunt, at=now())
        assert said.answer is Answer.SHUT
        assert ReasonCode.CONSENT_WITHDRAWN in {r.code for s in said.sites for r in s.reasons}
        assert gate_of(site) is Answer.SHUT

    def test_everybody_coming_the_leader_and_the_secretary_are_told(
        self,
        secretary: User,
        site: Site,
        granted: Permission,
        leader: User,
        member: User,
        django_capture_on_commit_callbacks: Any,
    ) -> None:
        hunt = make.hunt(site, permission_=granted, leader=leader, on=make.days(5))
        make.sign_up(hunt, member)
        Letter.objects.all().delete()  # what still waits for the same reader would go first
        mail.outbox.clear()
        with django_capture_on_commit_callbacks(execute=True):
            self.withdraw(granted, secretary)
        told = {message.to[0]: message for message in mail.outbox}
        assert set(told) == {member.email, leader.email, secretary.email}
        assert "Ada" not in told[member.email].body  # who the landholder is, members are not told
        assert hunt.title in told[member.email].body
        assert "Ewes in the field" in told[secretary.email].body

    def test_twice_is_once(self, secretary: User, granted: Permission) -> None:
        key = uuid4()
        link = land.make_link(
            granted.consents.get(capacity="owner").landholder,
            by=secretary,
            at=now(),
            expires_at=now() + timedelta(9),
            client_id=uuid4(),
        )
        for _ in range(2):
            actions.landholder_withdraws(link, granted, via="link", at=now(), client_id=key, words="")
        assert LandholderAnswer.objects.filter(what="withdrew").count() == 1
        assert AuditEntry.objects.filter(verb="consent.withdraw").count() == 1
