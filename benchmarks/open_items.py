"""A page of 1,000 finds of the open interface as GeoJSON, beside a bare JsonResponse of the same rows in the same run.

Run: `python -m benchmarks.open_items [FINDS]`. Both go through the whole stack of middleware with the same session;
the processor's time counts. The bare view asks for the columns with `values()` and hands them over as they lie in the
table: no place made coarser, no link, no box, nobody's rights asked. Target: at most 12 times that, and as many
queries for a full page as for ten rows. Ours is asked as the secretary, who sees places, and as a member (squares).
"""

import json
import os
import sys
import tempfile
import time
from statistics import median
from typing import Any

FINDS, REPEATS, MOST_TIMES = 1_000, 5, 12.0
COLUMNS = (
    "pk", "number", "hunt__code", "site__code", "finder__name", "found_at", "object_type", "object_uri", "description",
    "inscription", "is_coin", "period", "period_uri", "year_from", "year_to", "edtf", "certainty", "count", "weight_g",
    "length_mm", "width_mm", "thickness_mm", "diameter_mm", "depth_cm", "context", "land_use", "completeness",
    "condition", "recorded_at", "lon", "lat", "accuracy_m",
)  # fmt: skip


def bare(request: Any) -> Any:
    """The peer: the same rows and columns, with nothing asked and nothing added."""
    from django.http import JsonResponse

    from finds.models import Find

    rows = Find.objects.order_by("pk").values(*COLUMNS)[: int(request.GET["limit"])]
    features = [
        {
            "type": "Feature",
            "id": row.pop("pk"),
            "geometry": {"type": "Point", "coordinates": [row.pop("lon"), row.pop("lat")]},
            "properties": row,
        }
        for row in rows
    ]
    return JsonResponse({"type": "FeatureCollection", "features": features})


def with_peer() -> None:
    """Put the bare view beside the program's own addresses."""
    from django.urls import path

    from config import urls

    urls.urlpatterns.append(path("bare/items", bare))


def filled(count: int) -> dict[str, Any]:
    """A club with `count` finds in a fresh database; who asks."""
    from django.core.management import call_command

    from people.rights import Role
    from tests import make

    call_command("migrate", verbosity=0)
    call_command("createcachetable", verbosity=0)
    make.club()
    hunt, finder = make.hunt(), make.person()
    for number in range(count):
        make.find(hunt, finder, lon=0.15 + number * 1e-6, lat=53.6 + number * 1e-6, object_type="button")
    return {"secretary": make.person(Role.SECRETARY), "member": make.person()}


def clients_of(people: dict[str, Any]) -> dict[str, Any]:
    from django.test import Client

    clients = {name: Client(headers={"host": "localhost"}) for name in people}
    for name, client in clients.items():
        client.force_login(people[name])
    return clients


def page(client: Any, address: str, limit: int) -> tuple[float, int, int, int]:
    """Milliseconds of processor, bytes, features and queries of one answer."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as queries:
        began = time.process_time()
        answer = client.get(address, {"limit": limit, "f": "json"}, secure=True)
        ms = (time.process_time() - began) * 1000
    if answer.status_code != 200:
        raise SystemExit(f"{address} answered {answer.status_code}: {answer.content[:300]!r}")
    return ms, len(answer.content), len(json.loads(answer.content)["features"]), len(queries)


def timed(asked: dict[str, tuple[Any, str]], limit: int) -> dict[str, dict[str, float]]:
    """The median of each; the questions take turns, so that a busy minute strikes all alike."""
    found: dict[str, list[tuple[float, int, int, int]]] = {name: [] for name in asked}
    for _ in range(REPEATS):
        for name, (client, address) in asked.items():
            found[name].append(page(client, address, limit))
    return {
        name: {
            "ms": median(row[0] for row in rows),
            "bytes": rows[0][1],
            "features": rows[0][2],
            "queries": rows[-1][3],
        }
        for name, rows in found.items()
    }


def main(count: int) -> None:
    """Prints a line for each; ends with code 1 where a target is missed."""
    from people import limits

    limits.LIMITS["open"] = "100000/60s/key"  # what is measured is the page, not the brake
    with_peer()
    clients = clients_of(filled(count))
    ours = "/open/collections/finds/items"
    asked = {
        "bare view": (clients["secretary"], "/bare/items"),
        "open, secretary": (clients["secretary"], ours),
        "open, member": (clients["member"], ours),
    }
    few, many = timed(asked, 10), timed(asked, count)
    held = True
    for name, row in many.items():
        times = row["ms"] / many["bare view"]["ms"]
        if row["features"] != count:
            raise SystemExit(f"{name}: {row['features']} features and not {count}; do not trust the times.")
        good = name == "bare view" or (times <= MOST_TIMES and row["queries"] == few[name]["queries"])
        held = held and good
        print(
            f"{name:16} {row['ms']:8.1f} ms  x {times:5.2f}  {row['bytes'] / 1024:7.0f} kB  "
            f"{row['queries']:3.0f} queries ({few[name]['queries']:.0f} for 10)  {'' if good else 'NOT HELD'}"
        )
    if not held:
        raise SystemExit("A target is missed. On a busy machine, run it again alone.")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(prefix="open-items-") as folder:
        os.environ |= {
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "DJANGO_SECRET_KEY": "benchmark",
            "DJANGO_DEBUG": "1",
            "SECOND_FACTOR_REQUIRED": "0",
            "DATABASE_URL": f"sqlite:///{folder}/open.sqlite3",
        }
        import django

        django.setup()
        main(int(sys.argv[1]) if len(sys.argv) > 1 else FINDS)
