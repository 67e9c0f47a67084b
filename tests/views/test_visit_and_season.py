"""Pages of the visit report's own words, issuing to everybody at once, the season and the thanks."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now

from finds.forms.filters import season_of
from hunts.models import Hunt
from people.models import Letter
from reports.build.year import to_renew
from reports.models import IssuedReport, Kind, Thanks
from tests import make
from tests.views.world import World, build, shared_world
from web.templatetags.stubble import day

pytestmark = pytest.mark.django_db


def arranged() -> World:
    made = build()
    Hunt.objects.filter(pk=made.hunt.pk).update(state="closed", closed_at=now())
    made.hunt.refresh_from_db()
    return made


standing_world, world = shared_world(arranged)


def as_(client: Client, who: object) -> Client:
    client.force_login(who)  # type: ignore[arg-type]
    return client


def year() -> int:
    return season_of(localdate())


def test_the_leader_adds_a_paragraph_and_reads_the_report(world: World, client: Client) -> None:
    as_(client, world.leader)
    assert "Add your paragraph" in client.get(reverse("reports:visit", args=[world.hunt.pk])).text
    url = reverse("reports:visit_draft", args=[world.hunt.pk])
    page = client.post(url, {"leader_report": "A dry day.", "name_people": "on"}, follow=True).text
    assert "A dry day." in page
    assert "Change your words" in page
    assert "A dry day." in client.get(url).text  # kept in the form


def test_words_for_a_hunt_that_runs_are_refused_and_stay_typed(world: World, client: Client) -> None:
    Hunt.objects.filter(pk=world.hunt.pk).update(state="running")
    url = reverse("reports:visit_draft", args=[world.hunt.pk])
    page = as_(client, world.leader).post(url, {"leader_report": "Too early."}).text
    assert "is written when it is closed" in page
    assert "Too early." in page


def test_one_press_issues_to_every_landholder_and_says_who_gets_no_letter(
    world: World, client: Client
) -> None:
    world.site.parties.create(landholder=make.landholder(name="Bo Wold"), capacity="agent")
    url = reverse("reports:issue_all", args=["visit", world.hunt.pk])
    page = as_(client, world.leader).post(url, follow=True).text
    assert {r.recipient for r in IssuedReport.objects.filter(kind=Kind.VISIT)} == {"Ada Warp", "Bo Wold"}
    assert "No e-mail goes to Bo Wold" in page
    assert Letter.objects.get(kind="report").to == world.landholder.email
    client.post(url)
    assert IssuedReport.objects.filter(kind=Kind.VISIT).count() == 2


def test_a_heritage_report_is_never_issued_to_all(world: World, client: Client) -> None:
    url = reverse("reports:issue_all", args=["heritage", world.hunt.pk])
    assert as_(client, world.leader).post(url).status_code == 404


def test_the_season_is_read_issued_and_kept_as_a_pdf(world: World, client: Client) -> None:
    as_(client, world.secretary)
    page = client.get(reverse("reports:year", args=[year()])).text
    assert "Visits by month" in page
    assert "data:image/svg+xml" in page
    client.post(reverse("reports:issue_year", args=[year()]))
    row = IssuedReport.objects.get(kind=Kind.YEAR)
    assert (row.year, row.landholder, row.recipient) == (year(), None, "The club")
    assert client.get(reverse("reports:issued_pdf", args=[row.pk])).getvalue().startswith(b"%PDF-1.7")


def test_a_landholders_season_stands_on_their_own_page(world: World, client: Client) -> None:
    from permissions.links import key_of

    as_(client, world.secretary)
    client.post(reverse("reports:issue_year", args=[year()]), {"landholder": world.landholder.pk})
    row = IssuedReport.objects.get(kind=Kind.YEAR)
    assert row.landholder == world.landholder
    key = key_of(world.link)
    report = Client().get(reverse("reports:landholder_report", kwargs={"key": key, "pk": row.pk}))
    assert "Thank you for letting us search your land" in report.text
    assert Client().get(reverse("reports:landholder", kwargs={"key": key})).status_code == 200


def test_a_leader_reads_the_clubs_season_and_no_landholders(world: World, client: Client) -> None:
    as_(client, world.secretary).post(
        reverse("reports:issue_year", args=[year()]), {"landholder": world.landholder.pk}
    )
    row = IssuedReport.objects.get(kind=Kind.YEAR)
    as_(client, world.leader)
    url = reverse("reports:year", args=[year()])
    assert "Ada Warp" not in client.get(url).text
    assert client.get(url, {"landholder": world.landholder.pk}).status_code == 403
    assert client.get(reverse("reports:issued", args=[row.pk])).status_code == 404


@pytest.mark.parametrize("wanted", ["999999", "x"])
def test_somebody_without_searched_land_has_no_season(world: World, client: Client, wanted: str) -> None:
    url = reverse("reports:year", args=[year()])
    assert as_(client, world.secretary).get(url, {"landholder": wanted}).status_code == 404


@pytest.mark.parametrize("which", [0, 1899, 2999])
def test_a_season_that_has_not_begun_is_not_found(world: World, client: Client, which: int) -> None:
    assert as_(client, world.secretary).get(reverse("reports:year", args=[which])).status_code == 404


def test_thanks_are_written_down_and_a_day_to_come_is_refused(world: World, client: Client) -> None:
    url = reverse("reports:thank", args=[year(), world.landholder.pk])
    as_(client, world.secretary)
    refused = client.post(url, {"how": "a card", "on": make.days(2).isoformat()}).text
    assert "has not come yet" in refused
    assert "a card" in refused
    assert not Thanks.objects.exists()
    page = client.post(url, {"how": "a card", "on": localdate().isoformat()}, follow=True).text
    assert "a card" in page
    assert "Write it down" not in page


def test_what_ends_soon_stands_under_the_day_it_ends(world: World, client: Client) -> None:
    """A consent that ends before its permission is the reason, so its day is shown; the next to end comes first."""
    later = make.permission(world.site, consents=False, title="Own end", ends=make.days(60))
    sooner = make.permission(world.site, consents=False, title="By a consent", ends=make.days(300))
    make.consent(sooner, world.landholder, ends=make.days(20))
    make.permission(world.site, title="Far off", ends=make.days(300))
    rows = [(row.permission, row.day, row.by_consent) for row in to_renew(localdate())]
    assert rows == [(sooner, make.days(20), True), (later, make.days(60), False)]
    page = as_(client, world.secretary).get(reverse("reports:thanks", args=[year()])).text
    assert f"{day(make.days(20))}, a consent" in page
    assert "Far off" not in page
