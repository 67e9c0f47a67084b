"""Protected places: imported with their source and date, compared with every site, and the gate goes by it at once."""

import json
from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localdate

from people.models import AuditEntry, User
from permissions.gate import Answer, Decision
from permissions.gate_facts import answers_for
from permissions.models import ProtectedCheck, ProtectedLayer, ProtectedNear, ProtectedPlace, Site
from tests import make

# At 53.6 north one degree of longitude is 66,200 m and one of latitude 111,300 m (WGS84): 0.0003 east is 19.9 m.
EAST = 0.153


def box(west: float, width: float = 0.001) -> dict[str, Any]:
    ring = [[west, 53.6], [west + width, 53.6], [west + width, 53.601], [west, 53.601], [west, 53.6]]
    return {"type": "Polygon", "coordinates": [ring]}


def register(*places: tuple[str, dict[str, Any]]) -> bytes:
    features = [
        {"type": "Feature", "properties": {"Name": name, "ListEntry": 1000 + n}, "geometry": geometry}
        for n, (name, geometry) in enumerate(places)
    ]
    return json.dumps({"type": "FeatureCollection", "features": features}).encode()


DETAILS = {
    "name": "Monuments",
    "kind": "scheduled monument",
    "source": "county council download",
    "licence": "Open Government Licence v3.0",
    "data_on": "",
    "buffer_m": "20",
    "name_field": "Name",
    "reference_field": "ListEntry",
}


@pytest.fixture
def client(client_of: Callable[[User], Client], secretary: User) -> Client:
    make.club()
    return client_of(secretary)


@pytest.fixture
def site(secretary: User) -> Site:
    site = make.site(code="SF04", name="Saltmere Forty", by=secretary)
    make.permission(site)
    return site


def send(client: Client, data: bytes, name: str = "monuments.geojson", **kwargs: Any) -> Any:
    address = reverse(
        "permissions:protected_update" if kwargs else "permissions:protected_import", kwargs=kwargs
    )
    file = SimpleUploadedFile(name, data)
    return client.post(address, {"file": file, "client_id": uuid4(), "crs": ""})


def bring_in(client: Client, *places: tuple[str, dict[str, Any]], **fields: Any) -> ProtectedLayer:
    response = send(client, register(*places))
    values = DETAILS | {"data_on": localdate().isoformat()} | fields
    assert client.post(response.url, values).status_code == 302
    return ProtectedLayer.objects.latest("pk")


def decision(site: Site) -> Decision:
    return answers_for([site], localdate())[site.pk]


def test_a_file_is_looked_at_with_the_sites_it_concerns_before_it_is_saved(
    client: Client, site: Site
) -> None:
    response = send(client, register(("Howe Mound", box(0.1525))))
    html = client.get(response.url).content.decode()
    assert "SF04 Saltmere Forty: Howe Mound, 0 m away" in html
    assert "ListEntry, such as 1000" in html
    assert not ProtectedPlace.objects.exists()
    assert decision(site).answer is Answer.OPEN


def test_a_site_that_touches_a_place_is_shut_and_says_which(client: Client, site: Site) -> None:
    bring_in(client, ("Howe Mound", box(0.1525)))
    reason = decision(site).reasons[0]
    assert reason.effect is Answer.SHUT
    assert "touches Howe Mound (1000) (scheduled monument)" in reason.words
    html = client.get(reverse("permissions:site_detail", args=[site.pk])).content.decode()
    assert "On this site: shut" in html
    assert "county council download" in html
    assert '"kind": "protected"' in html


@pytest.mark.parametrize(
    ("gap_deg", "answer"),
    [(0.00029, Answer.ASK), (0.00031, Answer.OPEN)],  # 19.2 m and 20.5 m from the edge
)
def test_the_margin_asks_and_beyond_it_nothing_is_said(
    client: Client, site: Site, gap_deg: float, answer: Answer
) -> None:
    bring_in(client, ("Howe Mound", box(EAST + gap_deg)))
    assert decision(site).answer is answer


def test_a_point_and_a_line_count_as_well(client: Client, site: Site) -> None:
    line = {"type": "LineString", "coordinates": [[0.1535, 53.6], [0.1535, 53.602]]}
    bring_in(
        client, ("Cross", {"type": "Point", "coordinates": [0.151, 53.601]}), ("Dyke", line), buffer_m="50"
    )
    found = {row.place.name: row.relation for row in ProtectedNear.objects.select_related("place")}
    assert found == {"Cross": "touches", "Dyke": "in_buffer"}


def test_redrawing_a_site_compares_it_anew(client: Client, site: Site) -> None:
    bring_in(client, ("Howe Mound", box(0.1525)))
    corners = "53.6000, 0.15000\n53.6000, 0.15100\n53.6018, 0.15100\n53.6018, 0.15000"
    client.post(reverse("permissions:site_boundary", args=[site.pk]), {"boundary_text": corners})
    assert not ProtectedNear.objects.exists()
    assert decision(site).answer is Answer.OPEN


def test_a_wider_margin_is_compared_at_once(client: Client, site: Site) -> None:
    layer = bring_in(client, ("Howe Mound", box(EAST + 0.001)))
    assert decision(site).answer is Answer.OPEN
    values = DETAILS | {"data_on": localdate().isoformat(), "buffer_m": "100"}
    client.post(reverse("permissions:protected_edit", args=[layer.pk]), values)
    assert decision(site).answer is Answer.ASK
    assert AuditEntry.objects.get(verb="protected_layer.change").changes == {"changed": ["buffer_m"]}


def test_newer_data_replace_the_places_of_the_layer(client: Client, site: Site) -> None:
    layer = bring_in(client, ("Howe Mound", box(0.1525)))
    response = send(client, register(("Far Mound", box(0.2))), pk=layer.pk)
    html = client.get(response.url).content.decode()
    assert 'value="county council download"' in html
    for _ in range(2):  # sent twice it is one
        client.post(response.url, DETAILS | {"data_on": localdate().isoformat()})
    assert [p.name for p in ProtectedPlace.objects.all()] == ["Far Mound"]
    assert ProtectedLayer.objects.count() == 1
    assert decision(site).answer is Answer.OPEN


def test_a_layer_taken_off_leaves_nothing_behind(client: Client, site: Site) -> None:
    layer = bring_in(client, ("Howe Mound", box(0.1525)))
    client.post(reverse("permissions:protected_delete", args=[layer.pk]))
    assert not ProtectedNear.objects.exists()
    assert decision(site).answer is Answer.OPEN
    assert AuditEntry.objects.get(verb="protected_layer.remove").changes["places"] == 1


@pytest.mark.parametrize(("days", "answer"), [(365, Answer.OPEN), (366, Answer.ASK)])
def test_a_layer_that_counts_as_the_check_asks_again_after_a_year(
    client: Client, site: Site, days: int, answer: Answer
) -> None:
    ProtectedCheck.objects.all().delete()
    assert decision(site).reasons[0].code == "protected_check_missing"
    day = localdate() - timedelta(days)
    bring_in(client, ("Far Mound", box(0.2)), data_on=day.isoformat(), is_check="on")
    assert decision(site).answer is answer


def test_a_layer_that_does_not_reach_the_site_is_no_check_of_it(client: Client, site: Site) -> None:
    ProtectedCheck.objects.all().delete()
    layer = bring_in(client, ("Far Mound", box(0.2)), is_check="on")
    ProtectedLayer.objects.filter(pk=layer.pk).update(max_lon=0.151)
    assert decision(site).reasons[0].code == "protected_check_missing"


def test_places_far_from_every_site_are_left_out_and_said(client: Client, site: Site) -> None:
    data = register(("Howe Mound", box(0.1525)), ("Land's End", box(-5.7)))
    html = client.get(send(client, data).url).content.decode()
    assert "1 shape beyond the area asked for was left out" in html
    assert "1 place near your ground" in html


def test_the_list_says_how_old_each_layer_is(client: Client, secretary: User) -> None:
    make.layer(by=secretary, name="Old register", data_on=localdate() - timedelta(366))
    make.layer(by=secretary, name="New register", data_on=localdate() - timedelta(365))
    html = client.get(reverse("permissions:protected_list")).content.decode()
    assert html.count("over a year old: fetch newer") == 1


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"data_on": (localdate() + timedelta(1)).isoformat()}, "has not come yet"),
        ({"buffer_m": "9000"}, "9000 m cannot be right"),
        ({"source": ""}, "This field is required"),
    ],
)
def test_a_layer_without_its_source_or_with_a_wrong_day_is_not_saved(
    client: Client, fields: dict[str, str], words: str
) -> None:
    response = send(client, register(("Howe Mound", box(0.1525))))
    html = client.post(response.url, DETAILS | {"data_on": localdate().isoformat()} | fields).content.decode()
    assert words in html
    assert not ProtectedLayer.objects.exists()


def test_numbers_without_a_system_are_asked_about(client: Client, site: Site) -> None:
    response = send(client, b"POINT (542500 412400)", "howe.wkt")
    assert response.url.endswith("/system/")
    after = client.post(response.url, {"crs": "EPSG:27700", "other": ""})
    assert "/protected/preview/" in after.url
    assert "1 place near your ground" in client.get(after.url).content.decode()


@pytest.mark.parametrize("name", ["gate", "site_list", "protected_list"])
def test_more_places_and_layers_cost_no_more_queries(
    name: str, client: Client, site: Site, secretary: User
) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            client.get(reverse(f"permissions:{name}"))
        return len(captured)

    bring_in(client, ("Howe Mound", box(0.1525)))
    few = queries()
    bring_in(client, *((f"Mound {n}", box(0.1525)) for n in range(12)), name="Others", is_check="on")
    assert queries() == few
