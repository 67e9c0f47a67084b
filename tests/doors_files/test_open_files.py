"""Files as each kind of reader takes them: what is in them, what is on record, and no place finer than their right."""

import csv
import io
import json
import struct
import zipfile
from datetime import timedelta
from itertools import product
from typing import Any

import pytest
import shapefile
import shapely
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from doors.files.formats import FORMATS
from doors.files.offered import OFFERED
from hunts.models import Track
from people.models import AuditEntry
from people.rights import Role
from tests import make
from tests.doors_files.clients import client_of
from tests.views.locked_place import FIND_AT, FIND_TRACES, HOLE_AT, HOLE_TRACES, traces
from tests.views.locked_place import arranged as arranged_locked
from tests.views.world import World, shared_world

pytestmark = pytest.mark.django_db
HIDDEN_AT = (0.152411, 53.601873)  # an unlocked find of the leader's: others get its square
HIDDEN_TRACES = traces(*HIDDEN_AT)
URL = "/club/open-files/"
READERS = ("member", "other_member", "leader", "other_leader", "secretary", "committee")
SEE_HIDDEN = {"leader", "secretary", "committee"}  # its finder, and those who may see findspots


def arranged() -> World:
    world = arranged_locked()
    make.find(world.hunt, world.leader, lon=HIDDEN_AT[0], lat=HIDDEN_AT[1], object_type="=thimble")
    line = {"type": "MultiLineString", "coordinates": [[list(HOLE_AT), list(FIND_AT), list(HIDDEN_AT)]]}
    for user in (world.leader, world.member):
        Track.objects.create(
            hunt=world.hunt, user=user, line=line, sha256=f"{user.pk}", points=3, length_m=80, added_at=now()
        )
    return world


standing_world, world = shared_world(arranged)


def reader_named(world: World, name: str) -> Any:
    if name == "other_member":
        return make.person(name="Ned Spit")
    return make.person(Role.LEADER, name="Lyn Ness") if name == "other_leader" else world.reader(name)


def taken(client: Client, what: str, form: str, **asked: str) -> bytes:
    response: Any = client.post(URL, {"what": what, "form": form} | asked)
    assert response.status_code == 200
    assert response.get("Content-Disposition", "").startswith("attachment"), response.content[:2000]
    assert response["Cache-Control"] == "private, no-store"
    return b"".join(response.streaming_content)  # read to its end, so the client closes it


def everything_in(body: bytes) -> str:
    """All that a file holds as text, binary shapes written out in degrees."""
    if not zipfile.is_zipfile(io.BytesIO(body)):
        return body.decode()
    archive = zipfile.ZipFile(io.BytesIO(body))
    texts = [archive.read(name).decode("utf-8", "replace") for name in archive.namelist()]
    for name in archive.namelist():
        if name.endswith(".shp"):
            parts = {end: io.BytesIO(archive.read(name[:-3] + end)) for end in ("shp", "shx", "dbf")}
            with shapefile.Reader(**parts, encoding="utf-8") as reader:
                texts += [f"{x:.7f} {y:.7f}" for shape in reader.shapes() for x, y in shape.points]
    return "\n".join(texts)


def holds(body: bytes, point: tuple[float, float], written: Any) -> bool:
    """The point in any notation, or as the two little-endian doubles of a binary format."""
    return bool(written.search(everything_in(body))) or any(
        struct.pack("<d", round(degree, 7)) in body for degree in point
    )


# Those who see least and most go always; what the others get lies between.
ALWAYS = ("other_member", "secretary", "committee")
WALKERS = [name if name in ALWAYS else pytest.param(name, marks=pytest.mark.long) for name in READERS]


@pytest.mark.parametrize("reader", WALKERS)
def test_no_file_of_any_format_is_finer_than_the_right_of_its_reader(reader: str, world: World) -> None:
    """Every collection in every format: locked places in none, hidden finds only for those who may see them."""
    user = reader_named(world, reader)
    client = client_of(user)
    for what, form in product([name for name in OFFERED if name != "tracks"], FORMATS):
        body = taken(client, what, form)
        assert not holds(body, FIND_AT, FIND_TRACES), (what, form)
        assert not holds(body, HOLE_AT, HOLE_TRACES), (what, form)
        if what != "finds" or reader not in SEE_HIDDEN:
            assert not holds(body, HIDDEN_AT, HIDDEN_TRACES), (what, form)


@pytest.mark.parametrize("form", FORMATS)
def test_those_who_may_see_a_hidden_find_do_find_it(form: str, world: World) -> None:
    """Otherwise the test above would look for something that is never written."""
    body = taken(client_of(world.secretary), "finds", form)
    assert holds(body, HIDDEN_AT, HIDDEN_TRACES)


@pytest.mark.once
@pytest.mark.parametrize("form", ["geojson", "gpx"])
@pytest.mark.parametrize("reader", READERS)
def test_tracks_past_a_locked_place_are_for_their_walker_the_leader_and_the_committee(
    reader: str, form: str, world: World
) -> None:
    """A track stops where somebody dug; one's own is one's own."""
    text = everything_in(taken(client_of(reader_named(world, reader)), "tracks", form))
    whose = {name: getattr(world, name).name in text for name in ("leader", "member")}
    assert whose == {
        "member": {"leader": False, "member": True},
        "leader": {"leader": True, "member": True},
        "committee": {"leader": True, "member": True},
    }.get(reader, {"leader": False, "member": False})


def test_a_file_says_for_whom_and_how_finely_and_the_trail_who_took_it(world: World) -> None:
    body = json.loads(taken(client_of(world.member), "finds", "geojson"))
    assert body["metadata"]["madeFor"] == "Mo Samphire (member)"
    assert body["precision"] == {"full": 1, "withheld: locked": 1, "1 km square": 1}
    entry = AuditEntry.objects.filter(verb="file.take").latest("pk")
    assert (entry.by, entry.label) == (world.member, "finds: geojson, 3")
    assert entry.changes == {
        "form": "geojson",
        "rows": 3,
        "places": 2,
        "precision": {"full": 1, "withheld: locked": 1, "1 km square": 1},
    }


def test_a_square_is_an_area_and_a_point_a_point(world: World) -> None:
    features = json.loads(taken(client_of(world.member), "finds", "geojson"))["features"]
    kinds = {
        feature["properties"]["precision"]: (feature["geometry"] or {}).get("type") for feature in features
    }
    assert kinds == {"full": "Point", "1 km square": "Polygon", "withheld: locked": None}
    (square,) = [each for each in features if each["properties"]["precision"] == "1 km square"]
    assert shapely.from_geojson(json.dumps(square["geometry"])).covers(shapely.Point(HIDDEN_AT))


def test_a_file_of_one_hunt_or_site_holds_that_alone(world: World) -> None:
    site = make.site(code="RS-77", owner=world.landholder, by=world.secretary)
    other = make.hunt(site, leader=world.leader, code="H-77", on=world.hunt.on + timedelta(1))
    make.find(other, world.leader, object_type="bell")
    client = client_of(world.committee)
    for asked in ({"hunt": "h-77"}, {"site": "RS-77"}):
        features = json.loads(taken(client, "finds", "geojson", **asked))["features"]
        assert [each["properties"]["object_type"] for each in features] == ["bell"]
    assert len(json.loads(taken(client, "hunts", "geojson", hunt="H-77"))["features"]) == 1
    assert len(json.loads(taken(client, "sites", "geojson", site="RS-77"))["features"]) == 1


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"what": "ground-covered", "hunt": "{hunt}"}, "are not kept by hunt; leave out"),
        ({"what": "hunts", "site": "{site}"}, "are not kept by site; leave out"),
        ({"what": "finds", "hunt": "H-NONE"}, "There is no hunt H-NONE that you may see"),
        ({"what": "finds", "site": "X-1"}, "There is no site X-1 that you may see"),
    ],
)
def test_what_cannot_be_asked_is_said_with_the_remedy_and_kept(
    asked: dict[str, str], words: str, world: World
) -> None:
    known = {"hunt": world.hunt.code, "site": world.site.code}
    sent = {name: value.format(**known) for name, value in asked.items()}
    response = client_of(world.member).post(URL, {"form": "csv"} | sent)
    assert words in response.text.replace("&#x27;", "'")
    assert all(value in response.text for value in sent.values())
    assert not AuditEntry.objects.filter(verb="file.take").exists()


def test_cells_that_a_spreadsheet_would_run_are_made_text(world: World) -> None:
    archive = zipfile.ZipFile(io.BytesIO(taken(client_of(world.committee), "finds", "csv")))
    rows = list(csv.DictReader(io.StringIO(archive.read("finds.csv").decode("utf-8-sig"))))
    assert "'=thimble" in {row["object_type"] for row in rows}
    assert {row["precision"] for row in rows} == {"full", "withheld: locked"}


def test_landholders_stand_only_in_files_of_those_who_see_them(world: World) -> None:
    assert b"Ada Warp" in taken(client_of(world.secretary), "sites", "geojson")
    for form in FORMATS:
        assert "Ada Warp" not in everything_in(taken(client_of(world.leader), "sites", form))


def test_questions_to_the_database_do_not_grow_with_the_rows(
    world: World, django_assert_num_queries: Any, django_assert_max_num_queries: Any
) -> None:
    client = client_of(world.committee)
    taken(client, "finds", "csv")  # fills what is asked once a process
    with django_assert_max_num_queries(60) as few:
        taken(client, "finds", "csv")
    for number in range(20):
        make.find(world.hunt, world.member, object_type=f"button {number}")
    with django_assert_num_queries(len(few.captured_queries)):
        taken(client, "finds", "csv")


def test_the_page_fills_in_what_a_link_names_and_says_what_each_column_means(world: World) -> None:
    client = client_of(world.member)
    page = client.get(f"{URL}?what=holes&hunt={world.hunt.code}")
    assert f'value="{world.hunt.code}"' in page.text
    assert '<option value="holes" selected>' in page.text
    columns = client.get(reverse("doors:file_dictionary")).text
    assert all(name in columns for each in OFFERED.values() for name in each.properties)
