"""A landholder is erased: custody shows the name nowhere, and the ledger itself is as it was written."""

from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now
from pypdf import PdfReader

from finds import actions
from finds.actions.custody import first_holder
from finds.models import CustodyEntry, Find, HandOver
from permissions.actions import erase_landholder
from permissions.models import SiteParty
from tests import make
from tests.views.custody_world import read
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db


def arranged() -> World:
    """Ada's find is with her, signed by both sides; another waits to go from her to the museum."""
    world = build()
    world.permission.consents.update(withdrawn_on=make.days(-1))
    return world


standing_world, world = shared_world(arranged)


def find_of(world: World) -> Find:
    find = make.find(world.hunt, world.member)
    first_holder(find, by=world.member, at=now())
    return find


def propose(find: Find, world: World, **fields: Any) -> HandOver:
    said = {
        "to_holder": "landholder",
        "to_name": "Ada Warp, Saltmere",
        "purpose": "home",
        "capacity": "keeper",
    }
    said |= {"owner": "Ada Warp", "to_details": "01632 960111"} | fields
    return actions.propose_hand_over([find.pk], by=world.secretary, at=now(), client_id=uuid4(), **said)


def given(find: Find, world: World, name: str = "Ada Warp, Saltmere") -> HandOver:
    row = propose(find, world, to_name=name)
    for side in ("giver", "receiver"):
        said = {
            "name": name,
            "read_sha256": read(row, side),
            "drawn": [[[1, 2], [3, 4]]],
            "client_id": uuid4(),
        }
        actions.sign_hand_over(row.pk, side, by=world.secretary, via="", at=now(), **said)
    return row


def erase(world: World) -> None:
    erase_landholder(world.landholder.pk, by=world.secretary, at=now(), on=make.days(0))


def pages(client: Client, *addresses: str) -> dict[str, str]:
    """Each page's words without the list of issues, which are frozen; those of a PDF as they are read out of it."""
    words = {}
    for address in addresses:
        response = client.get(address)
        assert response.status_code == 200, address
        if response["Content-Type"] == "application/pdf":
            reader = PdfReader(BytesIO(b"".join(response)))
            words[address] = " ".join(page.extract_text() for page in reader.pages)
        else:
            words[address] = response.content.decode().split('<section aria-labelledby="earlier-h"')[0]
            words[address] += "".join(
                response.content.decode().split("<article")[1:]
            )  # not whom it was issued to
    return words


def test_no_page_of_custody_names_an_erased_landholder(world: World, client_of: Any) -> None:
    find = find_of(world)
    first = given(find, world)
    second = propose(find, world, to_holder="museum", to_name="County museum")
    addresses = [
        reverse("finds:custody_list"), reverse("finds:detail", args=[find.pk]),
        reverse("finds:hand_over", args=[first.pk]), reverse("finds:hand_over", args=[second.pk]),
        reverse("reports:receipt", args=[first.pk]), reverse("reports:receipt", args=[second.pk]),
        reverse("reports:returns", args=[world.hunt.pk]), reverse("reports:visit", args=[world.hunt.pk]),
    ]  # fmt: skip
    before = pages(client_of(world.secretary), *addresses)
    assert [address for address, words in before.items() if "Ada Warp" not in words] == []
    erase(world)
    after = pages(client_of(world.secretary), *addresses)
    assert [address for address, words in after.items() if "Ada" in words or "960111" in words] == []
    assert "Erased landholder" in after[addresses[0]]
    assert "Erased landholder" in after[addresses[4]]


def test_the_ledger_itself_is_as_it_was_written(world: World) -> None:
    find = find_of(world)
    given(find, world)
    erase(world)
    last = find.custody.order_by("-step")[0]
    assert (last.to_name, last.to_shown) == ("Ada Warp, Saltmere", "Erased landholder")


def test_what_moves_on_is_not_written_down_with_the_name_again(world: World) -> None:
    find = find_of(world)
    given(find, world)
    erase(world)
    move = {"after_step": 2, "to_holder": "museum", "to_name": "County museum", "purpose": "a gift"}
    actions.hand_over(find.pk, by=world.secretary, at=now(), **move)
    assert find.custody.order_by("-step")[0].from_name == "Erased landholder"


def test_another_landholder_of_the_same_field_keeps_their_name(world: World) -> None:
    other = make.landholder(name="Bo Fleet")
    SiteParty.objects.create(landholder=other, site=world.site, capacity="occupier")
    theirs = find_of(world)
    given(theirs, world, name="Bo Fleet, Fleet House")
    erase(world)
    assert CustodyEntry.objects.current().get(find=theirs).to_shown == "Bo Fleet, Fleet House"


def test_a_search_for_the_name_finds_nothing_any_more(world: World, client_of: Any) -> None:
    given(find_of(world), world)
    client, address = client_of(world.secretary), reverse("finds:custody_list")
    assert len(client.get(address, {"q": "ada"}).context["rows"]) == 1
    erase(world)
    assert len(client.get(address, {"q": "ada"}).context["rows"]) == 0
