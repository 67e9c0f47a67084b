"""What was issued stays what was sent: after every kind of later edit the same hashes and the same bytes."""

import hashlib
from collections.abc import Callable
from uuid import uuid4

import pytest
from django.utils.timezone import localdate, now

from finds.actions import (
    answer_facts,
    hand_over,
    link_finds,
    make_group,
    rescreen,
)
from finds.models import Find
from people.models import Club, Contact
from permissions.models import SiteParty
from reports.content import digest, from_data
from reports.drafts import draft_for_case, photos_of
from reports.models import IssuedReport
from reports.pdf import render_pdf
from tests import make
from tests.actions.heritage_world import issued
from tests.views.world import World, build, shared_world

pytestmark = [pytest.mark.django_db, pytest.mark.once]  # what was issued is bytes in a row


def arrange() -> World:
    world = build()
    make.find_photo(world.locked)
    return world


standing_world, world = shared_world(arrange)


def find_changed(world: World) -> None:
    Find.objects.filter(pk=world.locked.pk).update(
        object_type="jeton", description="not a coin after all", depth_cm=31, condition="cleaned"
    )


def find_moved(world: World) -> None:
    Find.objects.filter(pk=world.locked.pk).update(lon=0.1519, lat=53.6011, accuracy_m=1.0)


def find_recorded_near(world: World) -> None:
    make.find(world.hunt, world.member, object_type="buckle")


def group_changed(world: World) -> None:
    numbers = [world.locked.number, world.find.number]
    make_group(numbers, by=world.committee, at=now(), client_id=uuid4(), reasons="one purse")


def answers_changed(world: World) -> None:
    answer_facts(world.locked.pk, by=world.member, at=now(), answers={"container": "yes"})


def finds_linked(world: World) -> None:
    link_finds(
        world.locked.pk, world.find.number, by=world.member, at=now(), client_id=uuid4(), note="side by side"
    )


def photo_added(world: World) -> None:
    make.find_photo(world.locked, view="back")


def photo_said_anew(world: World) -> None:
    photos = type(world.locked_photo).objects.filter(find=world.locked)
    photos.update(caption="another caption", has_scale=True)


def people_renamed(world: World) -> None:
    for name in ("member", "leader", "committee"):
        user = world.reader(name)
        assert user is not None
        type(user).objects.filter(pk=user.pk).update(
            name=f"Other {name}", phone="0", email=f"{name}@new.example"
        )


def club_changed(world: World) -> None:
    Club.objects.update(
        name="Another club", address="Elsewhere", date_format="Y-m-d", units="acres", find_prefix="X"
    )


def contacts_changed(world: World) -> None:
    Contact.objects.create(kind="coroner", name="A new coroner", phone="1")
    Contact.objects.filter(pk=world.contact.pk).delete()


def landholder_erased(world: World) -> None:
    type(world.landholder).objects.filter(pk=world.landholder.pk).update(
        name="Erased", phone="", email="", erased_on=localdate()
    )


def land_changed_hands(world: World) -> None:
    SiteParty.objects.filter(site=world.site).update(until=make.days(-1))
    SiteParty.objects.create(site=world.site, landholder=make.landholder(name="Bo Wold"), capacity="owner")


def site_renamed(world: World) -> None:
    type(world.site).objects.filter(pk=world.site.pk).update(name="Other field", parish="Other parish")


def hunt_went_on(world: World) -> None:
    make.hole(world.hunt, world.member, outcome="nothing")
    type(world.attendance).objects.filter(pk=world.attendance.pk).update(signed_out_at=now())
    type(world.hunt).objects.filter(pk=world.hunt.pk).update(title="Another day out", code="H999")


def custody_moved(world: World) -> None:
    hand_over(
        world.locked.pk, by=world.committee, at=now(), after_step=world.locked.custody.count(),
        to_holder="museum", to_name="County museum", purpose="Display",
    )  # fmt: skip


def case_moved(world: World) -> None:
    type(world.case).objects.filter(pk=world.case.pk).update(
        authority="Somebody else", due_on=make.days(99), state="acknowledged"
    )


def screened_again(world: World) -> None:
    rescreen(world.locked.pk, by=world.committee, at=now())


EDITS: tuple[Callable[[World], None], ...] = (
    find_changed, find_moved, find_recorded_near, group_changed, answers_changed, finds_linked, photo_added,
    photo_said_anew, people_renamed, club_changed, contacts_changed, landholder_erased, land_changed_hands,
    site_renamed, hunt_went_on, custody_moved, case_moved, screened_again,
)  # fmt: skip


def seals(row: IssuedReport) -> tuple[str, str, str]:
    """Hashes of the content drawn anew from what is stored, and of the PDF and the package in the store."""
    row = IssuedReport.objects.select_related("package").get(pk=row.pk)
    with row.pdf.open("rb") as file:
        pdf = file.read()
    with row.package.file.open("rb") as file:
        package = file.read()
    return (
        digest(from_data(row.content)),
        hashlib.sha256(pdf).hexdigest(),
        hashlib.sha256(package).hexdigest(),
    )


def test_no_later_edit_changes_what_was_issued(world: World) -> None:
    """Done when 2 of the issue: re-rendered after every later edit it is hash for hash the one that was sent."""
    row = issued(world.case, world.committee)
    before = seals(row)
    assert before == (row.content_sha256, row.pdf_sha256, row.package.sha256)
    said = str(row.content)
    for edit in EDITS:
        edit(world)
        assert seals(row) == before, edit.__name__
    # The edits did reach what would be issued now, so that the test above does not pass for want of a change.
    now_says = str(draft_for_case(world.case, by=world.committee, at=now()).report)
    for words in (
        "County museum",
        "Bo Wold",
        "Another club",
        "Other field",
        "Other member",
        "buckle",
    ):
        assert words in now_says, words
        assert words not in said, words


def test_the_stored_content_gives_the_same_pdf_again_byte_for_byte(world: World) -> None:
    """The typesetter is given the day of issue as its time, so nothing of today gets into the file."""
    row = issued(world.case, world.committee)
    find_changed(world)
    people_renamed(world)
    club_changed(world)
    report = from_data(row.content)
    again = render_pdf(report, photos_of(report))
    assert hashlib.sha256(again).hexdigest() == row.pdf_sha256


def test_a_new_issue_stands_beside_the_old_one_and_moves_nothing_of_it(world: World) -> None:
    first = issued(world.case, world.committee)
    before = seals(first)
    find_changed(world)
    second = issued(world.case, world.committee)
    assert (second.issue, second.number[:-1]) == (first.issue + 1, first.number[:-1])
    assert seals(first) == before
    assert seals(second) == (second.content_sha256, second.pdf_sha256, second.package.sha256)
    assert issued(world.case, world.committee).pk == second.pk  # nothing changed since, so no third
