"""The pages of agreements: the secretary sends, a signer without an account reads, signs, declines or withdraws."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localdate, now

from people.models import User
from permissions.gate import Answer
from permissions.gate_facts import answers_for
from permissions.links import key_of
from permissions.models import LandholderLink, Permission, Site
from permissions.states import State
from reports.agreements import digest_of, signed_text
from reports.models import Signature, SignatureRequest
from reports.sign_links import sign_key_of
from tests import make

ClientOf = Callable[[User | None], Client]


@pytest.fixture
def site(secretary: User) -> Site:
    make.club()
    return make.site(owner=make.landholder(name="Ada Warp", email="ada@saltmere.example"), by=secretary)


@pytest.fixture
def permission(site: Site) -> Permission:
    return make.permission(site, consents=False, state=State.DRAFT, title="Saltmere stubble")


@pytest.fixture
def asked(permission: Permission, secretary: User) -> SignatureRequest:
    return make.agreement(permission, by=secretary)[0]


def url(request: SignatureRequest, page: str = "sign") -> str:
    return reverse(f"reports:{page}", args=[sign_key_of(request)])


def form(request: SignatureRequest, **fields: str) -> dict[str, str]:
    read = digest_of(signed_text(request))
    return {"name": "Ada Warp", "agree": "on", "read_sha256": read} | fields


def test_the_secretary_sends_the_agreement_from_its_page(
    client_of: ClientOf, secretary: User, permission: Permission, site: Site
) -> None:
    client, owner = client_of(secretary), site.parties.all()[0].landholder
    page = client.get(reverse("reports:agreement", args=[permission.pk]))
    assert "20. Signatures" in page.content.decode()
    data = {"signers": [f"{owner.pk}:owner"], "days": "30"}
    sent = client.post(reverse("reports:agreement_send", args=[permission.pk]), data, follow=True)
    assert "is on its way to Ada Warp" in sent.content.decode()
    request = SignatureRequest.objects.get()
    assert url(request) in sent.content.decode()
    pdf = client.get(reverse("reports:agreement_pdf", args=[request.issue_id]))
    assert b"".join(pdf.streaming_content).startswith(b"%PDF-")  # type: ignore[attr-defined]


def test_nobody_ticked_is_said_and_nothing_is_sent(
    client_of: ClientOf, secretary: User, permission: Permission
) -> None:
    answer = client_of(secretary).post(
        reverse("reports:agreement_send", args=[permission.pk]), {"days": "500"}
    )
    assert "tick at least one landholder" in answer.content.decode()
    assert "less than or equal to 180" in answer.content.decode()
    assert SignatureRequest.objects.count() == 0


def test_a_text_that_changed_under_the_secretarys_hands_is_read_again_before_it_is_sent(
    client_of: ClientOf, secretary: User, permission: Permission, site: Site
) -> None:
    client, where = client_of(secretary), reverse("reports:agreement_send", args=[permission.pk])
    page = client.get(reverse("reports:agreement", args=[permission.pk]))
    data = {"signers": [f"{site.parties.all()[0].landholder_id}:owner"], "days": "30"}
    data["read_sha256"] = page.context["form"].sha256
    Permission.objects.filter(pk=permission.pk).update(depth_limit_cm=25)
    again = client.post(where, data)
    assert "since this page was opened" in again.content.decode()
    assert SignatureRequest.objects.count() == 0
    data["read_sha256"] = again.context["form"]["read_sha256"].value()
    assert client.post(where, data).status_code == 302
    assert SignatureRequest.objects.count() == 1


def test_an_erased_landholders_address_opens_nothing(asked: SignatureRequest) -> None:
    type(asked.landholder).objects.filter(pk=asked.landholder_id).update(erased_on=localdate())
    assert Client().get(url(asked)).status_code == 410


def test_a_signer_reads_and_signs_without_an_account(asked: SignatureRequest, site: Site) -> None:
    client = Client()
    page = client.get(url(asked)).content.decode()
    assert f'value="{digest_of(signed_text(asked))}"' in page
    assert "I agree as owner to agreement" in page
    signed = client.post(url(asked, "sign_agree"), form(asked), follow=True).content.decode()
    assert "Signed" in signed
    assert "by Ada Warp" in signed
    assert answers_for([site], localdate())[site.pk].answer is Answer.OPEN
    asked.refresh_from_db()
    assert asked.opened_at is not None


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"name": ""}, "it is your signature"),
        ({"agree": ""}, "Tick this if you agree"),
        ({"drawn": "[[[1,2],[5000,2]]]"}, "could not be read"),
        ({"drawn": "not json"}, "could not be read"),
    ],
)
def test_a_form_that_is_not_complete_says_what_is_missing_and_keeps_what_was_typed(
    asked: SignatureRequest, fields: dict[str, str], words: str
) -> None:
    page = Client().post(url(asked, "sign_agree"), form(asked) | {"name": "Ada M Warp"} | fields)
    assert words in page.content.decode()
    assert ('value="Ada M Warp"' in page.content.decode()) == ("name" not in fields)
    assert Signature.objects.count() == 0


def test_a_drawn_signature_is_kept_and_shown(asked: SignatureRequest) -> None:
    page = Client().post(url(asked, "sign_agree"), form(asked, drawn="[[[10,20],[30,40]]]"), follow=True)
    assert 'points="30,20 90,40"' in page.content.decode()
    assert Signature.objects.get().drawn == [[[10, 20], [30, 40]]]


def test_an_outdated_text_refuses_in_words_and_offers_the_new_one(
    asked: SignatureRequest, permission: Permission, secretary: User
) -> None:
    old, client = form(asked), Client()
    Permission.objects.filter(pk=permission.pk).update(depth_limit_cm=25)
    page = client.post(url(asked, "sign_agree"), old, follow=True).content.decode()
    assert "it was not signed" in page
    assert "has not sent you the new text yet" in page
    permission.refresh_from_db()
    newer = make.agreement(permission, by=secretary)[0]
    assert url(newer) in client.get(url(asked)).content.decode()


def test_the_secretary_is_told_that_the_text_changed(
    client_of: ClientOf, asked: SignatureRequest, permission: Permission, secretary: User
) -> None:
    Permission.objects.filter(pk=permission.pk).update(depth_limit_cm=25)
    page = client_of(secretary).get(reverse("reports:agreement", args=[permission.pk])).content.decode()
    assert "It can no longer be signed" in page
    assert f"A-{permission.reference}-2" in page


def test_a_key_of_one_purpose_opens_nothing_of_another(asked: SignatureRequest, secretary: User) -> None:
    link = LandholderLink.objects.create(
        landholder=asked.landholder, made_at=now(), made_by=secretary, expires_at=now() + timedelta(9)
    )
    client = Client()
    assert client.get(reverse("reports:sign", args=[key_of(link)])).status_code == 410
    assert client.get(reverse("reports:landholder", args=[sign_key_of(asked)])).status_code == 410
    assert client.get(url(asked)[:-3] + "x/").status_code == 410


def test_an_address_taken_back_says_so(client_of: ClientOf, asked: SignatureRequest, secretary: User) -> None:
    client_of(secretary).post(reverse("reports:request_revoke", args=[asked.pk]))
    page = Client().get(url(asked))
    assert page.status_code == 410
    assert "has withdrawn this address" in page.content.decode()


def test_declining_with_words_reaches_the_secretarys_page(
    client_of: ClientOf, asked: SignatureRequest, secretary: User
) -> None:
    assert "so that the club can put it right" in Client().post(url(asked, "sign_decline")).content.decode()
    Client().post(url(asked, "sign_decline"), {"why": "Not before harvest"})
    page = client_of(secretary).get(reverse("reports:agreement", args=[asked.issue.permission_id]))
    assert "Not before harvest" in page.content.decode()


def test_a_landholder_withdraws_on_the_private_page(
    client_of: ClientOf, asked: SignatureRequest, secretary: User, site: Site
) -> None:
    client = Client()
    client.post(url(asked, "sign_agree"), form(asked))
    link = LandholderLink.objects.create(
        landholder=asked.landholder, made_at=now(), made_by=secretary, expires_at=now() + timedelta(9)
    )
    hunt = make.hunt(site, permission_=asked.issue.permission, on=make.days(6), state="planned")
    home = reverse("reports:landholder", args=[key_of(link)])
    assert "Withdraw my consent to Saltmere stubble" in client.get(home).content.decode()
    where = reverse("reports:landholder_withdraw", args=[key_of(link), asked.issue.permission_id])
    for _ in range(2):  # twice is once
        page = client.post(where, {"words": "Ewes"}, follow=True).content.decode()
    assert "Your consent is withdrawn from now" in page
    assert "Withdraw my consent to" not in page
    assert (
        "The gate: shut" in client_of(secretary).get(reverse("hunts:detail", args=[hunt.pk])).content.decode()
    )


def test_the_page_asks_as_often_for_one_signer_as_for_eight(
    client_of: ClientOf, secretary: User, permission: Permission, site: Site
) -> None:
    make.agreement(permission, by=secretary)
    client, address = client_of(secretary), reverse("reports:agreement", args=[permission.pk])
    client.get(address)
    with CaptureQueriesContext(connection) as few:
        client.get(address)
    for number in range(7):
        owner = make.landholder(name=f"Owner {number}")
        site.parties.create(landholder=owner, capacity="owner")
    make.agreement(permission, by=secretary)
    with CaptureQueriesContext(connection) as many:
        client.get(address)
    assert len(many) == len(few)


def test_the_signers_page_has_no_script_of_its_own_to_run(asked: SignatureRequest) -> None:
    """Everything needed to sign is in the page: name, tick, button; the drawing board stays hidden without a script."""
    page: Any = Client().get(url(asked)).content.decode()
    assert "data-sign-board hidden" in page
    assert "<button>Sign the agreement</button>" in page
