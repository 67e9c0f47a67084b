"""Consents: recorded with evidence, withdrawn, and the weakest required one decides."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.timezone import localdate, now

from people.models import AuditEntry, User
from permissions import actions
from permissions.evidence import EvidenceError, take_evidence
from permissions.gate import Answer, ReasonCode
from permissions.gate_facts import answers_for
from permissions.models import Consent, Permission, Site
from tests import make

PDF = b"%PDF-1.7\n1 0 obj <<>> endobj\ntrailer <<>>\n%%EOF\n"


@pytest.fixture
def site(secretary: User) -> Site:
    return make.site(by=secretary)


@pytest.fixture
def permission(site: Site) -> Permission:
    return make.permission(site, consents=False)


def give(permission: Permission, by: User, **fields: object) -> Consent:
    owner = permission.sites.all()[0].parties.get(capacity="owner").landholder
    values = {
        "client_id": uuid4(),
        "landholder": owner,
        "capacity": "owner",
        "given_on": localdate(),
        "evidence_kind": "signed",
    }
    return actions.add_consent(permission, by=by, at=now(), **(values | fields))


def test_the_owners_consent_opens_the_gate_and_its_withdrawal_shuts_it(
    secretary: User, site: Site, permission: Permission
) -> None:
    today = localdate()
    assert answers_for([site], today)[site.pk].reasons[0].code is ReasonCode.CONSENT_MISSING
    consent = give(permission, secretary)
    assert answers_for([site], today)[site.pk].answer is Answer.OPEN
    actions.withdraw_consent(consent.pk, by=secretary, at=now(), on=today)
    assert answers_for([site], today)[site.pk].reasons[0].code is ReasonCode.CONSENT_WITHDRAWN


def test_let_land_needs_the_occupier_too(secretary: User, site: Site, permission: Permission) -> None:
    Site.objects.filter(pk=site.pk).update(tenure="let")
    tenant = make.landholder(name="Tess Silt")
    actions.add_party(site.pk, by=secretary, at=now(), landholder=tenant, capacity="occupier")
    give(permission, secretary)
    decision = answers_for([site], localdate(), names=True)[site.pk]
    assert decision.answer is Answer.SHUT
    assert "Tess Silt, the occupier" in decision.reasons[0].words
    give(permission, secretary, landholder=tenant, capacity="occupier")
    assert answers_for([site], localdate())[site.pk].answer is Answer.OPEN


def test_a_spoken_yes_alone_asks(secretary: User, site: Site, permission: Permission) -> None:
    give(permission, secretary, evidence_kind="verbal")
    decision = answers_for([site], localdate())[site.pk]
    assert (decision.answer, decision.reasons[0].code) == (Answer.ASK, ReasonCode.CONSENT_NO_EVIDENCE)


def test_a_consent_for_other_sites_does_not_open_this_one(
    secretary: User, site: Site, permission: Permission
) -> None:
    other = make.site(by=secretary)
    permission.sites.add(other)
    give(permission, secretary, sites=[other])
    assert answers_for([site], localdate())[site.pk].reasons[0].code is ReasonCode.CONSENT_OTHER_SITE


def test_the_form_twice_is_one_consent_and_one_file(secretary: User, permission: Permission) -> None:
    key = uuid4()
    for _ in range(2):
        evidence = take_evidence(SimpleUploadedFile("Letter from Ada.pdf", PDF))
        consent = give(permission, secretary, client_id=key, evidence=evidence)
    assert Consent.objects.count() == 1
    assert consent.evidence_name == "Letter from Ada.pdf"
    assert "Ada" not in consent.evidence_file.name
    assert AuditEntry.objects.filter(verb="consent.add").count() == 1


def test_withdrawing_again_later_keeps_the_earlier_day(secretary: User, permission: Permission) -> None:
    consent = give(permission, secretary)
    today = localdate()
    for days in (0, 5):
        actions.withdraw_consent(consent.pk, by=secretary, at=now(), on=today + timedelta(days))
    consent.refresh_from_db()
    assert consent.withdrawn_on == today


def test_a_leader_may_not_record_one(leader: User, permission: Permission) -> None:
    with pytest.raises(PermissionDenied):
        give(permission, leader)


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("agreement.pdf", b"I agree, Ada", "its content is text"),
        ("agreement.jpg", b"\xff\xd8\xff\xe0 cut off", "damaged or was cut off"),
        ("agreement.docx", b"PK\x03\x04 zip", "a zip file"),
        ("agreement.pdf", b"", "empty"),
        ("big.pdf", b"%PDF-" + b"0" * (10 * 1024 * 1024), "10.5 MB"),
    ],
)
def test_evidence_is_judged_by_content_and_size(name: str, content: bytes, words: str) -> None:
    with pytest.raises(EvidenceError, match=words) as caught:
        take_evidence(SimpleUploadedFile(name, content))
    assert name in str(caught.value)


def test_an_answer_to_what_was_asked_opens_the_gate(
    secretary: User, site: Site, permission: Permission
) -> None:
    consent = give(permission, secretary, given_on=None)
    assert answers_for([site], localdate())[site.pk].reasons[0].code is ReasonCode.CONSENT_NOT_GIVEN
    actions.correct_consent(consent.pk, by=secretary, at=now(), given_on=localdate())
    assert answers_for([site], localdate())[site.pk].answer is Answer.OPEN
    line = AuditEntry.objects.get(verb="consent.correct")
    assert (line.changes["before"]["given_on"], line.changes["given_on"]) == ("None", str(localdate()))
