"""The one-time code of a landholder's page: a forwarded address without it shows nothing."""

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core import mail
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from permissions.actions import CodeError, erase_landholder, send_code, use_code
from permissions.forms import LandholderForm
from permissions.links import key_of
from permissions.models import Landholder, LinkCode
from reports.models import LandholderAnswer
from tests import make
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db


def arranged() -> World:
    world = build()
    Landholder.objects.filter(pk=world.landholder.pk).update(asks_code=True)
    world.landholder.refresh_from_db()
    world.link.refresh_from_db()
    return world


standing_world, world = shared_world(arranged)


@pytest.fixture
def key(world: World) -> str:
    return key_of(world.link)


def url(name: str, key: str, *args: Any) -> str:
    return reverse(f"reports:{name}", args=[key, *args])


def sent_code(act: Callable[[], Any], capture: Any) -> str:
    """The code in the letter that leaves when `act` is done."""
    before = len(mail.outbox)
    with capture(execute=True):
        act()
    [letter] = mail.outbox[before:]
    assert letter.to == ["ada@saltmere.example"]
    found = re.search(r"\b(\d{4} \d{4})\b", letter.body)
    assert found
    return found[1]


def open_page(client: Client, key: str, capture: Any, query: str = "") -> HttpResponse:
    code = sent_code(lambda: client.post(url("landholder_code_send", key)), capture)
    return client.post(url("landholder_code", key) + query, {"code": code, "client_id": uuid4()})


SHUT = [
    ("get", "landholder", ()),
    ("get", "landholder_mail", ()),
    ("get", "landholder_papers", ()),
    ("get", "landholder_report", ("returns",)),
    ("get", "landholder_report_pdf", ("returns",)),
    ("get", "landholder_find_photo", ("photo", "small")),
    ("post", "landholder_concern", ()),
    ("post", "landholder_question", ()),
    ("post", "landholder_invite", ()),
    ("post", "landholder_pause", ("permission",)),
    ("post", "landholder_confirm", ("returns",)),
]


@pytest.mark.parametrize(("method", "name", "args"), SHUT)
def test_a_stranger_with_the_forwarded_address_sees_nothing_and_does_nothing(
    world: World, key: str, method: str, name: str, args: tuple[str, ...]
) -> None:
    said = LandholderAnswer.objects.count()
    values = [getattr(world, a).pk if hasattr(world, a) else a for a in args]
    data = {"words": "x", "received": "confirmed", "signed_name": "x"} if method == "post" else {}
    response = getattr(Client(), method)(url(name, key, *values), data, follow=True)
    assert response.redirect_chain[0][0].startswith(url("landholder_code", key))
    for words in ("Ada Warp", "ada@", "saltmere", world.site.name, world.hunt.title, world.returns.number):
        assert words not in response.text
    assert LandholderAnswer.objects.count() == said


def test_every_address_behind_the_link_is_shut() -> None:
    """A new one belongs into SHUT, unless it is the code's own or the same door guards it."""
    from reports.urls_landholder import urlpatterns

    names = {pattern.name for pattern in urlpatterns} - {"landholder_code", "landholder_code_send"}
    alike = {"landholder_photo", "landholder_withdraw"}  # tried in the next test
    assert names == {name for _, name, _ in SHUT} | alike


def test_photographs_and_withdrawals_are_shut_too(world: World, key: str) -> None:
    photo = url("landholder_photo", key, world.returns.pk, f"find-{world.photo.pk}")
    assert Client().get(photo).status_code == 302
    assert (
        Client().post(url("landholder_withdraw", key, world.permission.pk), {"words": "x"}).status_code == 302
    )
    world.permission.refresh_from_db()
    assert world.permission.consents.filter(withdrawn_on=None).exists()


def test_the_code_opens_the_page_in_this_browser_alone(
    client: Client, key: str, django_capture_on_commit_callbacks: Any
) -> None:
    response = open_page(client, key, django_capture_on_commit_callbacks)
    assert response["Location"] == url("landholder", key)
    [cookie] = [c for name, c in client.cookies.items() if name.startswith("page")]
    assert cookie["httponly"]
    assert not cookie["max-age"]
    assert not cookie["expires"]
    assert "Ada Warp" in client.get(url("landholder", key)).text
    assert Client().get(url("landholder", key)).status_code == 302


def test_papers_to_sign_ask_for_a_code_even_where_the_page_does_not(
    client: Client, world: World, key: str, django_capture_on_commit_callbacks: Any
) -> None:
    Landholder.objects.update(asks_code=False)
    assert client.get(url("landholder", key)).status_code == 200
    assert client.get(url("landholder_papers", key))["Location"].endswith("code/?to=papers")
    response = open_page(client, key, django_capture_on_commit_callbacks, "?to=papers")
    assert response["Location"] == url("landholder_papers", key)
    text = client.get(response["Location"]).text
    assert world.sign_request.issue.number in text
    assert "Waits for your signature" in text


@pytest.mark.parametrize("to", ["https://elsewhere.example", "//elsewhere.example", "today"])
def test_the_code_leads_nowhere_else(
    client: Client, key: str, to: str, django_capture_on_commit_callbacks: Any
) -> None:
    response = open_page(client, key, django_capture_on_commit_callbacks, f"?to={to}")
    assert response["Location"] == url("landholder", key)


def test_without_an_address_on_file_the_page_says_how_to_get_a_code(
    client: Client, world: World, key: str
) -> None:
    Landholder.objects.update(email="")
    response = client.get(url("landholder", key), follow=True)
    assert "ring the club’s secretary" in response.text
    world.link.landholder.email = ""
    with pytest.raises(CodeError, match="no e-mail address"):
        send_code(world.link, via="link", at=now())


def test_a_changed_address_on_file_shuts_the_browser_out(
    client: Client, key: str, django_capture_on_commit_callbacks: Any
) -> None:
    open_page(client, key, django_capture_on_commit_callbacks)
    Landholder.objects.update(email="bo@saltmere.example")
    assert client.get(url("landholder", key)).status_code == 302


@pytest.mark.parametrize("value", ["1", "x:y", "1:abc"])
def test_a_forged_cookie_opens_nothing(client: Client, world: World, key: str, value: str) -> None:
    client.cookies[f"page{world.link.pk}"] = value
    assert client.get(url("landholder", key)).status_code == 302


# The code itself


def use(world: World, code: str, *, minutes: int = 0, client_id: Any = None) -> LinkCode | None:
    at = now() + timedelta(minutes=minutes)
    return use_code(world.link, code, via="link", at=at, client_id=client_id or uuid4())


def asked(world: World, capture: Any, minutes: int = 0) -> str:
    return sent_code(
        lambda: send_code(world.link, via="link", at=now() + timedelta(minutes=minutes)), capture
    )


def other_than(code: str) -> str:
    return ("1" if code[0] == "0" else "0") + code[1:]


def test_a_code_works_once_and_the_same_form_twice_is_once(
    world: World, django_capture_on_commit_callbacks: Any
) -> None:
    code, form = asked(world, django_capture_on_commit_callbacks), uuid4()
    assert use(world, code, client_id=form)
    assert use(world, code.replace(" ", "-"), client_id=form)
    assert use(world, code) is None


def test_a_code_runs_out_after_ten_minutes(world: World, django_capture_on_commit_callbacks: Any) -> None:
    code = asked(world, django_capture_on_commit_callbacks)
    assert use(world, code, minutes=11) is None
    assert use(world, code, minutes=9)


def test_five_wrong_tries_end_a_code(world: World, django_capture_on_commit_callbacks: Any) -> None:
    code = asked(world, django_capture_on_commit_callbacks)
    for _ in range(5):
        assert use(world, other_than(code)) is None
    assert use(world, code) is None


def test_only_the_newest_code_works(world: World, django_capture_on_commit_callbacks: Any) -> None:
    first = asked(world, django_capture_on_commit_callbacks)
    second = asked(world, django_capture_on_commit_callbacks, minutes=1)
    assert use(world, first, minutes=2) is None
    assert use(world, second, minutes=2)


def test_a_code_of_another_link_does_not_work(world: World, django_capture_on_commit_callbacks: Any) -> None:
    code = asked(world, django_capture_on_commit_callbacks)
    assert use_code(world.expired_link, code, via="link", at=now(), client_id=uuid4()) is None


def test_a_button_pressed_twice_sends_one_letter_and_a_sixth_code_an_hour_is_refused(
    world: World, django_capture_on_commit_callbacks: Any
) -> None:
    asked(world, django_capture_on_commit_callbacks)
    send_code(world.link, via="link", at=now())
    assert LinkCode.objects.count() == 1
    for minutes in range(1, 5):
        asked(world, django_capture_on_commit_callbacks, minutes)
    with pytest.raises(CodeError, match="5 codes were sent within an hour"):
        send_code(world.link, via="link", at=now() + timedelta(minutes=6))
    asked(world, django_capture_on_commit_callbacks, 61)


def test_wrong_late_and_never_sent_get_the_same_words(
    client: Client, world: World, key: str, django_capture_on_commit_callbacks: Any
) -> None:
    def said(code: str) -> set[str]:
        response = client.post(url("landholder_code", key), {"code": code})
        return set(re.findall(r"This is not the code[^<]+", response.text))

    never = said("1234 5678")
    code = asked(world, django_capture_on_commit_callbacks)
    wrong = said(other_than(code))
    LinkCode.objects.update(expires_at=now())
    assert never == wrong == said(code)
    assert len(never) == 1


def test_only_a_keyed_digest_is_kept(world: World, django_capture_on_commit_callbacks: Any) -> None:
    code = asked(world, django_capture_on_commit_callbacks).replace(" ", "")
    row = LinkCode.objects.values().get()
    assert code not in str(row)
    assert "ada@" not in str(row)


def test_erasing_a_landholder_takes_the_codes_along(
    world: World, django_capture_on_commit_callbacks: Any
) -> None:
    asked(world, django_capture_on_commit_callbacks)
    world.permission.consents.update(withdrawn_on=make.days(-1))
    erase_landholder(world.landholder.pk, by=world.secretary, at=now(), on=make.days(0))
    assert not LinkCode.objects.exists()


def test_the_secretary_is_asked_for_an_address_before_codes_are_wanted() -> None:
    form = LandholderForm({"name": "Ada Warp", "asks_code": "on", "email": ""})
    assert "Enter the address to which the codes go" in str(form.errors["email"])
    assert LandholderForm({"name": "Ada Warp", "asks_code": "on", "email": "a@b.example"}).is_valid()
