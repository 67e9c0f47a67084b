"""The committee's pages about heritage reports, and visits to the officer."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, localtime, now

from finds.models import CustodyEntry, FindspotView
from finds.states import CaseState
from reports.models import Acknowledgement, OfficerVisit, ReportSending
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db


standing_world, world = shared_world(build)


@pytest.fixture
def committee(world: World, client: Client) -> Client:
    client.force_login(world.committee)
    return client


def test_from_issue_to_acknowledged(committee: Client, world: World) -> None:
    preview = committee.get(reverse("reports:heritage", args=[world.case.pk])).text
    assert "The officer will ask for" in preview
    assert "a photograph" in preview
    type(world.locked).objects.filter(pk=world.locked.pk).update(description="three silver pennies")
    page = committee.post(reverse("reports:issue_heritage", args=[world.case.pk]), follow=True)
    row = page.context["row"]
    assert "not recorded as sent" in page.text
    package = committee.get(reverse("reports:issued_package", args=[row.pk]))
    assert package["Content-Type"] == "application/zip"
    assert b"".join(package.streaming_content).startswith(b"PK")
    assert FindspotView.objects.filter(where="issued report, data package", find=world.locked).count() == 1
    sent = {"sent_at": f"{localtime(now()):%Y-%m-%dT%H:%M}", "how": "hand", "what": "both"}
    again = committee.post(reverse("reports:report_send", args=[row.pk]), sent)
    assert "Say to whom it was sent" in again.text
    committee.post(reverse("reports:report_send", args=[row.pk]), sent | {"to_name": "Ida Drift"})
    sending = ReportSending.objects.get()
    answer = {"on": localdate().isoformat(), "who": "Ida Drift", "reference": "HD-7"}
    url = reverse("reports:sending_acknowledge", args=[sending.pk])
    done = committee.post(url, answer, follow=True).text
    assert Acknowledgement.objects.get().reference == "HD-7"
    assert row.pdf_sha256 in done
    world.case.refresh_from_db()
    assert world.case.state == CaseState.ACKNOWLEDGED


def test_the_review_page_says_what_changed_without_colour(committee: Client, world: World) -> None:
    url = reverse("reports:heritage_differences", args=[world.case.pk])
    assert "The two say the same" in committee.get(url).text
    type(world.locked).objects.filter(pk=world.locked.pk).update(depth_cm=18)
    text = committee.get(url).text
    assert "<strong>Changed:</strong> Depth" in text
    assert "Was: <del>not" in text
    assert "Now: <ins>18" in text
    assert committee.get(url, {"before": "999999"}).status_code == 404


def test_a_visit_is_planned_printed_and_recorded(committee: Client, world: World) -> None:
    plan = reverse("reports:officer_visit_plan")
    data = {
        "finds": [str(world.locked.pk)], "numbers": world.others_locked.number, "on": localdate().isoformat(),
        "to_name": "Ida Drift", "to_holder": "officer", "taken_by": "Cora Boulder", "purpose": "Recording",
    }  # fmt: skip
    assert "No find is called X1" in committee.post(plan, data | {"numbers": "X1"}).text
    page = committee.post(plan, data, follow=True)
    visit = OfficerVisit.objects.get()
    assert visit.items.count() == 2
    assert world.locked.number in page.text
    looks = FindspotView.objects.filter(where="list for the officer")
    papers = reverse("reports:officer_visit_papers", args=[visit.pk])
    assert committee.get(papers)["Content-Type"] == "application/pdf"
    assert not looks.exists()
    committee.get(papers, {"places": "1"})
    assert looks.count() == 2
    went = reverse("reports:officer_visit_went", args=[visit.pk])
    assert "This field is required" in committee.post(went, {}).text
    committee.post(went, {"evidence": "receipt", f"left-{world.locked.pk}": "no room"})
    assert CustodyEntry.objects.filter(find=world.others_locked, to_name="Ida Drift").exists()
    assert not CustodyEntry.objects.filter(find=world.locked, to_name="Ida Drift").exists()


def test_the_secretary_takes_finds_along_and_gets_no_findspots(client: Client, world: World) -> None:
    client.force_login(world.secretary)
    client.post(
        reverse("reports:officer_visit_plan"),
        {
            "finds": [str(world.locked.pk)], "on": localdate().isoformat(), "to_name": "Ida Drift",
            "to_holder": "officer", "taken_by": "Sal Marram", "purpose": "Recording",
        },
    )  # fmt: skip
    papers = reverse("reports:officer_visit_papers", args=[OfficerVisit.objects.get().pk])
    assert client.get(papers).status_code == 200
    assert client.get(papers, {"places": "1"}).status_code == 403
