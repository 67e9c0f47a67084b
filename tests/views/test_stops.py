"""The drill comes first on every page that follows, names whom to call, and shows no place to who may not see it."""

import re
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core import mail
from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now

from finds.models import Find, FindDrill, FindspotView
from hunts.actions import add_incident, lift_stop
from hunts.models import Incident, IncidentEvent
from people.models import AuditEntry, Contact, User
from people.rights import Role
from reports.today import today_for
from tests import make
from tests.actions.test_find_imports import row, table
from tests.views.test_finds import recorded, typed
from tests.views.test_finds_tables import upload

pytestmark = pytest.mark.django_db
PLACE = re.compile(r"53\.600|0\.151|TA 42\d\d? ?13\d")
WHY = "The police came: it is a plough bolt."


@pytest.fixture
def hunt(member: User, leader: User) -> Any:
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    hunt.refresh_from_db()  # times as times
    return hunt


@pytest.fixture
def finder(client: Client, member: User) -> Client:
    client.force_login(member)
    return client


@pytest.fixture
def find(finder: Client, hunt: Any, member: User) -> Find:
    make.club()
    return recorded(finder, hunt, typed(hunt, member, circumstances=["ordnance"]))


@pytest.fixture
def incident(find: Find) -> Incident:
    return find.drills.get().incident


def page(user: User, name: str, pk: int) -> str:
    client = Client()
    client.force_login(user)
    response = client.get(reverse(name, args=[pk]))
    assert response.status_code == 200
    return response.text


def say(user: User, name: str, pk: int, **data: str) -> str:
    client = Client()
    client.force_login(user)
    return client.post(reverse(name, args=[pk]), data, follow=True).text


def in_order(text: str, *words: str) -> None:
    places = [text.index(each) for each in words]
    assert places == sorted(places)


def test_the_next_page_after_recording_is_the_drill_with_the_place_to_read_out(
    finder: Client,
    hunt: Any,
    member: User,
) -> None:
    make.club()
    Contact.objects.create(kind="police", name="Rural desk", phone="101", hours="day and night")
    Contact.objects.create(kind="police", name="Garda station", phone="999", jurisdiction="ireland")
    response = finder.post(
        reverse("finds:record", args=[hunt.pk]), typed(hunt, member, circumstances=["ordnance"]), follow=True
    )
    text = response.text
    in_order(
        text,
        "Say this place on the phone",
        "Do not touch it, move it or dig further",
        'href="tel:999"',
        "Rural desk",
        "day and night",
        "at least 100 m away",
        "I have done this",
        "thimble with a starry crown</h1>",
    )
    assert "Garda station" not in text  # the contacts of the site's own law
    assert FindspotView.objects.filter(by=member, where="find page").exists()


def test_leader_and_committee_see_it_on_today_at_once_and_no_line_holds_the_place(
    incident: Incident, leader: User, committee: User
) -> None:
    for user in (leader, committee):
        group = today_for(User.objects.get(pk=user.pk), at=now())[0]
        assert (group.title, group.duty) == ("Stop: what to do now", True)
        assert group.items[0].title == "Ordnance"
        assert "nobody has taken over yet" in group.items[0].words
    assert not PLACE.search(page(leader, "hunts:detail", incident.hunt_id))


def test_it_goes_out_by_mail_although_the_list_is_turned_off_and_without_the_place(
    incident: Incident, leader: User
) -> None:
    leader.wants_digest = False
    leader.save()
    call_command("remind")
    bodies = [message.body for message in mail.outbox if leader.email in message.to]
    assert any("nobody has taken over yet" in body for body in bodies)
    assert not PLACE.search(" ".join(bodies))


def test_the_hunt_shows_everybody_that_it_has_stopped_by_site_code_only(
    incident: Incident,
    hunt: Any,
    member: User,
    leader: User,
) -> None:
    other = make.attendance(hunt, make.person()).sign_up.user
    for name in ("hunts:detail", "hunts:hole_log", "finds:record"):
        text = page(other, name, hunt.pk)
        assert f"Something that may explode was reported on {incident.site.code}" in text
        assert "Leave the field the way the leader says" in text
        assert "thimble" not in text.split("</h1>")[1].split("<form")[0]
    assert f"{hunt.code} has stopped" in page_of_today(other)
    lift_stop(incident.pk, by=leader, at=now(), why="Cleared.")
    assert "Something that may explode" not in page(other, "hunts:detail", hunt.pk)
    assert "has stopped" not in page_of_today(other)


def page_of_today(user: User) -> str:
    client = Client()
    client.force_login(user)
    return client.get("/").text


def test_bones_stop_the_hunt_without_being_named_to_the_field(
    finder: Client,
    hunt: Any,
    member: User,
) -> None:
    recorded(finder, hunt, typed(hunt, member, circumstances=["human_remains"]))
    text = page(make.attendance(hunt, make.person()).sign_up.user, "hunts:detail", hunt.pk)
    assert "The hunt has stopped" in text
    assert "human" not in text.split("<footer")[0].split("The hunt has stopped")[1][:400]


@pytest.mark.parametrize("kind", ["from_vessel", "container", "military_aircraft"])
def test_what_is_no_danger_to_others_leaves_the_hunt_running(
    finder: Client,
    hunt: Any,
    member: User,
    kind: str,
) -> None:
    recorded(finder, hunt, typed(hunt, member, circumstances=[kind]))
    assert Incident.objects.get().locked
    assert "Stop." not in page(make.person(), "hunts:detail", hunt.pk)


def test_unticking_asks_why_and_keeps_what_was_typed(
    finder: Client,
    hunt: Any,
    member: User,
    find: Find,
    incident: Incident,
) -> None:
    url = reverse("finds:edit", args=[find.pk])
    changed = typed(hunt, member, object_type="plough bolt")
    text = finder.post(url, changed).text
    assert "This record said: ordnance." in text
    assert 'value="plough bolt"' in text
    assert re.search(r'<input type="text" name="taken_back_why"', text)
    assert finder.post(url, changed | {"taken_back_why": WHY}).status_code == 302
    find.refresh_from_db()
    assert (find.object_type, find.locked) == ("plough bolt", True)
    assert WHY in page(member, "finds:incident", incident.pk)


def test_an_answer_to_the_laws_questions_is_taken_back_the_same_way(
    finder: Client,
    find: Find,
    incident: Incident,
) -> None:
    url = reverse("finds:facts", args=[find.pk])
    assert "Why is it taken back?" in finder.post(url, {"ordnance": "no"}).text
    assert finder.post(url, {"ordnance": "no", "taken_back_why": WHY}).status_code == 302
    find.refresh_from_db()
    assert "taken_back_why" not in find.facts
    assert find.facts["ordnance"] == "no"


def test_the_course_of_an_incident_from_drill_to_outcome(
    incident: Incident, find: Find, member: User, leader: User, committee: User
) -> None:
    assert "You did what stands here" in say(member, "finds:incident_done", incident.pk)
    assert f"Taken over by {leader.name}" in say(leader, "finds:incident_take_over", incident.pk)
    assert "Say why the hunt may go on" in say(leader, "finds:incident_lift", incident.pk, words="")
    say(leader, "finds:incident_lift", incident.pk, words="Cleared by bomb disposal.")
    assert "Say how it ended" in say(leader, "finds:incident_close", incident.pk, words=" ")
    text = say(leader, "finds:incident_close", incident.pk, words=WHY)
    in_order(
        text, "Opened", "Did what the drill says", "Took over", "Let the hunt go on", f"Closed, {leader.name}"
    )
    assert "I have done this" not in page(member, "finds:detail", find.pk)
    assert "End the lock on the place" not in page(leader, "finds:incident", incident.pk)
    assert "Opened the place again" in say(committee, "finds:incident_free", incident.pk, words=WHY)


def test_the_place_of_an_incident_is_shown_to_who_may_see_it_and_the_look_is_kept(
    incident: Incident, find: Find, member: User, leader: User, committee: User, secretary: User
) -> None:
    for user in (member, leader, committee):
        assert PLACE.search(page(user, "finds:incident", incident.pk))
        assert FindspotView.objects.filter(by=user, find=find, where="incident page").exists()
    assert not PLACE.search(page(secretary, "finds:incident", incident.pk))
    for stranger in (make.person(), make.person(Role.LEADER)):
        client = Client()
        client.force_login(stranger)
        assert client.get(reverse("finds:incident", args=[incident.pk])).status_code == 404


def test_a_place_given_with_an_incident_is_locked_and_each_look_is_kept(
    hunt: Any,
    member: User,
    leader: User,
    secretary: User,
) -> None:
    make.club()
    place = {"lon": 0.1512, "lat": 53.6007, "accuracy_m": 4.0}
    made = add_incident(
        hunt, by=member, at=now(), client_id=uuid4(), kind="wreck", happened_at=now() - timedelta(minutes=1),
        words="ribs in the sand", **place,
    )  # fmt: skip
    assert made.locked
    assert PLACE.search(page(leader, "finds:incident", made.pk))
    assert AuditEntry.objects.filter(verb="incident.see", by=leader).count() == 1
    assert not PLACE.search(page(secretary, "finds:incident", made.pk))
    client = Client()
    client.force_login(leader)
    assert not PLACE.search(client.get(reverse("hunts:incident_list")).text)


def test_whom_to_call_asks_the_secretary_and_sends_others_to_the_police(
    incident: Incident, member: User, secretary: User
) -> None:
    assert "The club has not entered anyone; call the police, or 999 or 112." in page(
        member, "finds:incident", incident.pk
    )
    text = page(secretary, "finds:incident", incident.pk)
    assert "Nobody is entered yet for England" in text
    assert f"{reverse('people:contact_add')}?jurisdiction=england&amp;kind=police" in text
    assert "The club has not entered anyone" in page(member, "hunts:emergency_card", incident.hunt_id)


def test_one_source_feeds_drills_incident_case_and_card(
    incident: Incident, find: Find, member: User, committee: User
) -> None:
    Contact.objects.create(kind="police", name="Rural desk", phone="01632 960555")
    for text in (
        page(member, "finds:incident", incident.pk),
        page(member, "finds:detail", find.pk),
        page(committee, "finds:case_detail", find.cases.get().pk),
        page(member, "hunts:emergency_card", incident.hunt_id),
        page_at(member, reverse("hunts:drills")),
    ):
        assert 'href="tel:01632960555"' in text
        assert "Do not touch it, move it or dig further" in text


def page_at(user: User, address: str) -> str:
    client = Client()
    client.force_login(user)
    return client.get(address).text


def test_drills_speak_the_law_of_the_sites(secretary: User) -> None:
    make.club()
    make.site()
    make.site(jurisdiction="scotland")
    Contact.objects.create(kind="receiver", name="Wreck desk", phone="01632 960777", jurisdiction="scotland")
    text = page_at(secretary, reverse("hunts:drills"))
    assert "?law=scotland" in text
    assert "Wreck desk" not in text
    text = page_at(secretary, reverse("hunts:drills") + "?law=scotland")
    assert "There is no coroner in Scotland" in text
    assert "Wreck desk" in text


def test_today_tells_the_secretary_which_laws_have_nobody_to_call(secretary: User, leader: User) -> None:
    make.club()
    make.site()
    make.site(jurisdiction="scotland")
    for kind in ("police", "finds officer", "receiver"):
        Contact.objects.create(kind=kind, name=kind, phone="101")
    text = page_of_today(secretary)
    assert "Scotland: nobody to call" in text
    assert "England: nobody to call" not in text
    assert "nobody to call" not in page_of_today(leader)


def test_an_incident_with_twenty_finds_asks_the_database_as_often_as_with_one(
    finder: Client, hunt: Any, member: User, find: Find, incident: Incident
) -> None:
    url = reverse("finds:incident", args=[incident.pk])

    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            assert finder.get(url).status_code == 200
        return len(queries)

    asked()
    one = asked()
    for number in range(20):
        Contact.objects.create(kind="police", name=f"Desk {number}", phone="101")
        other = make.find(hunt, member)
        FindDrill.objects.create(find=other, kind="ordnance", incident=incident, opened_at=now())
        IncidentEvent.objects.create(incident=incident, verb="done", by=make.person(), at=now())
    assert asked() == one


def test_an_import_leads_to_the_drill_before_anything_else(leader: User, member: User) -> None:
    make.club()
    site = make.site(code="SF04")
    made = make.hunt(site, leader=leader, on=make.days(-7), code="H2026-004", state="closed")
    make.sign_up(made, member)
    client = Client()
    client.force_login(member)
    rows = table(row(), row(object="lump", circumstances="ordnance"))
    look = client.get(upload(client, rows)["Location"])
    address = reverse("finds:import_save", args=[look.context["draft"].pk])
    for _ in range(2):
        client.post(address, {"seal": look.context["seal"]})
    incident = Incident.objects.get()
    assert client.post(address, {"seal": look.context["seal"]})["Location"] == reverse(
        "finds:incident", args=[incident.pk]
    )
    assert "Do not touch it, move it or dig further" in page(member, "finds:incident", incident.pk)
