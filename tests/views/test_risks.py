"""The risk assessment on its page and in the briefing."""

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from hunts.models import Hunt, HuntSite, RiskAssessment
from people.models import User
from tests import make, make_kit

ClientOf = Callable[[User | None], Client]


@pytest.fixture
def hunt(leader: User) -> Hunt:
    return make.hunt(make.site(hazards="A slurry lagoon behind the barn"), leader=leader, on=make.days(3))


def page(client: Client, name: str, *args: Any) -> str:
    response = client.get(reverse(f"hunts:{name}", args=args))
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def send(client: Client, view: str, *args: Any, **data: Any) -> str:
    response = client.post(reverse(f"hunts:{view}", args=args), data, follow=True)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def test_started_adapted_agreed_and_read_out(client_of: ClientOf, leader: User, hunt: Hunt) -> None:
    client, site = client_of(leader), hunt.sites.all()[0]
    begin = page(client, "risk_start", hunt.pk, site.pk)
    assert "A slurry lagoon behind the barn" in begin
    send(client, "risk_start", hunt.pk, site.pk, codes=["ground", "slurry"], review_on=hunt.on.isoformat())
    row = RiskAssessment.objects.get()
    line = {"hazard": "Lagoon behind the barn", "likelihood": 3, "severity": 5, "control": "No-go, taped"}
    line |= {"owner": "Gate steward", "residual_likelihood": 2, "residual_severity": 5}
    shown = send(client, "risk_edit", row.lines.get(code="slurry").pk, **line)
    assert "3 × 5 = 15" in shown
    assert "Medium" in shown
    assert "Agreed on the ground" in send(client, "risk_agree", row.pk)
    briefing = page(client, "briefing", hunt.pk)
    assert briefing.index("Lagoon behind the barn") < briefing.index(
        "Uneven ground"
    )  # the worst that is left first
    assert "No-go, taped" in briefing


def test_a_hunt_without_one_says_so_in_the_briefing(client_of: ClientOf, leader: User, hunt: Hunt) -> None:
    assert "no risk assessment" in page(client_of(leader), "briefing", hunt.pk)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"likelihood": "6"}, "less than or equal to 5"),
        ({"severity": "0"}, "greater than or equal to 1"),
        ({"residual_likelihood": "5", "residual_severity": "5"}, "What is left (25)"),
        ({"control": ""}, "This field is required"),
    ],
)
def test_wrong_figures_keep_what_was_typed(
    client_of: ClientOf, leader: User, hunt: Hunt, changes: dict[str, str], words: str
) -> None:
    row = make_kit.risk(hunt, hunt.sites.all()[0], leader)
    line = {
        "hazard": "Old well",
        "likelihood": "2",
        "severity": "5",
        "control": "Roped off",
        "owner": "Leader",
    }
    line |= {"residual_likelihood": "1", "residual_severity": "5"}
    shown = send(client_of(leader), "risk_add", row.pk, **(line | changes))
    assert words in shown
    assert 'value="Old well"' in shown
    assert row.lines.count() == 1


def test_another_sites_address_is_not_found(client_of: ClientOf, leader: User, hunt: Hunt) -> None:
    url = reverse("hunts:risk_start", args=[hunt.pk, make.site().pk])
    assert client_of(leader).get(url).status_code == 404


def test_a_review_that_is_due_is_said(client_of: ClientOf, leader: User, hunt: Hunt) -> None:
    make_kit.risk(hunt, hunt.sites.all()[0], leader, review_on=make.days(-1))
    assert "has gone by" in page(client_of(leader), "risks", hunt.pk)


def test_members_read_and_change_nothing(client_of: ClientOf, member: User, leader: User, hunt: Hunt) -> None:
    make_kit.risk(hunt, hunt.sites.all()[0], leader)
    shown = page(client_of(member), "risks", hunt.pk)
    assert "Ruts" in shown
    assert "Take off" not in shown


def test_many_lines_cost_no_more_queries(client_of: ClientOf, leader: User, hunt: Hunt) -> None:
    def queries(name: str) -> int:
        with CaptureQueriesContext(connection) as caught:
            page(client_of(leader), name, hunt.pk)
        return len(caught)

    row = make_kit.risk(hunt, hunt.sites.all()[0], leader)
    before = [queries("risks"), queries("briefing")]
    for _ in range(20):
        make_kit.risk_line(row)
    assert [queries("risks"), queries("briefing")] == before


def test_what_two_sites_share_is_read_once(client_of: ClientOf, leader: User, hunt: Hunt) -> None:
    other = make.site(code="SB22", name="Slack Acre")
    HuntSite.objects.create(hunt=hunt, site=other, boundary=other.boundaries.all()[0])
    client = client_of(leader)
    for site in hunt.sites.all():
        send(client, "risk_start", hunt.pk, site.pk, codes=["ground"], review_on=hunt.on.isoformat())
    assert page(client, "briefing", hunt.pk).count("Uneven ground") == 1
    line = RiskAssessment.objects.get(site=other).lines.get()
    said = {"hazard": "Uneven ground by the pond", "likelihood": 4, "severity": 2, "control": line.control}
    said |= {"owner": line.owner, "residual_likelihood": 2, "residual_severity": 2}
    send(client, "risk_edit", line.pk, **said)
    assert page(client, "briefing", hunt.pk).count("Uneven ground") == 2
