"""Who gets what where land is imported, cut, merged and compared with protected places."""

from datetime import timedelta
from uuid import uuid4

from django.utils.timezone import now

from permissions.models import ImportDraft
from tests import make
from tests.views.access import Row, who
from tests.views.world import World

KEEPER = who("secretary", 200)
DONE = who("secretary", 302)
SHAPE = {
    "name": "Long Lands",
    "geometry": make.SQUARE,
    "area_m2": 39_700.0,
    "perimeter_m": 800.0,
    "bounds": [0.150, 53.600, 0.153, 53.6018],
    "notes": [],
    "repaired": False,
}


def draft(world: World, purpose: str = "sites", **fields: object) -> dict[str, int]:
    values = {
        "purpose": purpose,
        "made_by": world.secretary,
        "made_at": now(),
        "expires_at": now() + timedelta(1),
        "filename": "farm.geojson",
        "format": "GeoJSON",
        "crs": "WGS84",
        "shapes": [SHAPE],
    }
    return {"pk": ImportDraft.objects.create(client_id=uuid4(), **(values | fields)).pk}


def question(world: World) -> dict[str, int]:
    choice = {"code": "EPSG:27700", "label": "British National Grid", "lon": 0.15, "lat": 53.6}
    return draft(world, question="Which system?", choices=[choice], raw=b"{}", shapes=[])


def places(world: World) -> dict[str, int]:
    return draft(world, "places", shapes=[{"name": "Howe", "geometry": make.SQUARE, "properties": {}}])


def layer(world: World) -> dict[str, int]:
    return {"pk": make.layer(by=world.secretary).pk}


PLANNERS = who("leader secretary committee", 200)


def site(world: World) -> dict[str, int]:
    return {"pk": world.site.pk}


def pheasant(world: World) -> dict[str, str]:
    return {"season": "pheasant"}


ROWS = [
    Row("permissions:season_list", PLANNERS, otherwise=403),
    Row("permissions:season_add", KEEPER, kwargs=pheasant, otherwise=403),
    Row("permissions:site_split", KEEPER, kwargs=site, otherwise=403),
    Row("permissions:site_merge", KEEPER, kwargs=site, otherwise=403),
    Row("permissions:protected_list", PLANNERS, otherwise=403),
    Row("permissions:protected_detail", PLANNERS, kwargs=layer, otherwise=403),
    Row("permissions:protected_import", KEEPER, otherwise=403),
    Row("permissions:protected_update", KEEPER, kwargs=layer, otherwise=403),
    Row("permissions:protected_preview", KEEPER, kwargs=places, otherwise=403),
    Row("permissions:protected_edit", KEEPER, kwargs=layer, otherwise=403),
    Row("permissions:protected_delete", DONE, kwargs=layer, method="post", otherwise=403),
    Row("permissions:import_sites", KEEPER, otherwise=403),
    Row("permissions:import_system", KEEPER, kwargs=question, otherwise=403),
    Row("permissions:import_preview", KEEPER, kwargs=draft, otherwise=403),
    Row("permissions:import_discard", DONE, kwargs=draft, method="post", otherwise=403),
]
