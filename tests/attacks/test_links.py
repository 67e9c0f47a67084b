"""Private addresses that were altered, signed anew, borrowed from another purpose, or are over.

Sources: OWASP ASVS 5.0.0, V9.1 and V9.2 (self-contained tokens); OWASP WSTG 4.2, WSTG-ATHN-10, WSTG-SESS-09.
"""

from collections.abc import Callable
from datetime import timedelta
from uuid import uuid4

import pytest
from django.core import signing
from django.urls import reverse
from django.utils.timezone import now

from finds import hand_over_links
from finds.hand_over_links import hand_over_key
from finds.models import HandOverLink
from people import mail_choices
from people.letter_kinds import LetterKind
from people.mail_choices import stop_key
from permissions import links
from permissions.links import key_of
from reports import paper_links, sign_links
from reports.paper_links import paper_key_of
from reports.sign_links import sign_key_of
from tests.attacks.ground import Ground
from tests.views import custody_world, settle_world
from tests.views.world import World

KINDS: dict[str, tuple[str, Callable[[World], str]]] = {
    "landholder": ("reports:landholder", lambda world: key_of(world.link)),
    "agreement": ("reports:sign", lambda world: sign_key_of(world.sign_request)),
    "paper": ("reports:by_paper", lambda world: paper_key_of(settle_world.theirs(world))),
    "hand-over": ("finds:receive", lambda world: custody_world.code(world)),
    "mail stop": ("people:mail_stop", lambda world: stop_key(world.member.email, LetterKind.SIGNED)),
}
SALTS = {
    "landholder": links.SALT,
    "agreement": sign_links.SALT,
    "paper": paper_links.SALT,
    "hand-over": hand_over_links.SALT,
    "mail stop": mail_choices.SALT,
}
OVER = 410


def opened(kind: str, key: str, ground: Ground) -> int:
    return ground.client("anonymous").get(reverse(KINDS[kind][0], args=[key])).status_code


def key_for(kind: str, ground: Ground) -> str:
    return KINDS[kind][1](ground.world)


@pytest.mark.parametrize("kind", KINDS)
def test_the_key_as_it_was_sent_opens(kind: str, ground: Ground) -> None:
    """Otherwise the attacks below would be turned away for another reason."""
    assert opened(kind, key_for(kind, ground), ground) == 200


ALTERED: dict[str, Callable[[str], str]] = {
    "one letter of the content": lambda key: ("b" if key[0] == "a" else "a") + key[1:],
    "one letter of the signature": lambda key: key[:-6] + ("b" if key[-6] == "a" else "a") + key[-5:],
    "cut short": lambda key: key[:-1],
    "no signature": lambda key: key.rpartition(":")[0] + ":",
    "no content": lambda key: ":" + key.rpartition(":")[2],
    "something behind it": lambda key: key + "x",
    "signed twice": lambda key: key + ":" + key.rpartition(":")[2],
    "in capitals": lambda key: key.upper(),
    "another key of ours": lambda key: signing.Signer(key="x" * 50, salt="landholder-link").sign(uuid4().hex),
    "no salt": lambda key: signing.Signer().sign(key.split(":")[0]),
    "a number": lambda key: "1",
    "nothing": lambda key: "-",
    "a quote": lambda key: key + "'",
}


@pytest.mark.parametrize("how", ALTERED)
@pytest.mark.parametrize("kind", KINDS)
def test_an_altered_key_opens_nothing(kind: str, how: str, ground: Ground) -> None:
    assert opened(kind, ALTERED[how](key_for(kind, ground)), ground) == OVER


def borrowed(kind: str, other: str, ground: Ground) -> int:
    """What the address of one purpose says to a right key of another."""
    return opened(kind, key_for(other, ground), ground)


@pytest.mark.parametrize(("kind", "other"), [(a, b) for a in KINDS for b in KINDS if a != b])
def test_a_key_of_another_purpose_opens_nothing(kind: str, other: str, ground: Ground) -> None:
    assert borrowed(kind, other, ground) == OVER


@pytest.mark.parametrize(("kind", "other"), [(a, b) for a in KINDS for b in KINDS if a != b])
def test_the_content_of_one_signed_for_another_opens_nothing(kind: str, other: str, ground: Ground) -> None:
    """Also with our own secret: the identifier of one kind is none of another."""
    content = key_for(other, ground).split(":")[0]
    assert opened(kind, signing.Signer(salt=SALTS[kind]).sign(content), ground) == OVER


@pytest.mark.parametrize("kind", ["landholder", "agreement", "paper", "hand-over"])
@pytest.mark.parametrize("how", ["expires_at", "revoked_at"])
def test_an_address_that_is_over_opens_nothing(kind: str, how: str, ground: Ground) -> None:
    world, past = ground.world, now() - timedelta(seconds=1)
    key = key_for(kind, ground)
    found = {
        "landholder": lambda: world.link,
        "agreement": lambda: world.sign_request,
        "paper": lambda: settle_world.theirs(world),
        "hand-over": lambda: HandOverLink.objects.latest("pk"),
    }[kind]()
    type(found).objects.filter(pk=found.pk).update(**{how: past})
    assert opened(kind, key, ground) == OVER


def test_a_hand_over_key_reads_its_own_side_alone(ground: Ground) -> None:
    custody_world.code(ground.world)
    link = HandOverLink.objects.latest("pk")
    again = HandOverLink.objects.get(pk=link.pk)
    assert hand_over_key(again) == hand_over_key(link)
    assert link.side in {"giver", "receiver"}


@pytest.mark.parametrize("page", ["today", "finds:list", "people:person_list", "permissions:site_list"])
def test_a_private_address_signs_nobody_in(page: str, ground: Ground) -> None:
    client = ground.client("anonymous")
    for kind in KINDS:
        client.get(reverse(KINDS[kind][0], args=[key_for(kind, ground)]))
    assert client.get(reverse(page)).status_code == 302
