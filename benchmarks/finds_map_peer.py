"""The peer of benchmarks/finds_map.py: a table with a geometry, asked by PostGIS through the same ORM.

Importable once Django is set up. Operators and functions: PostGIS manual, `&&`, ST_MakeEnvelope, ST_X, ST_SnapToGrid.
"""

from typing import Any

from django.db import models
from django.db.models import Avg, Count, F, FloatField, Func


class Geometry(models.Field):
    """A column that is only compared and taken apart by PostGIS."""


@Geometry.register_lookup
class Touches(models.Lookup):
    """The box of the geometry and a box of four degrees have something in common."""

    lookup_name = "touches"
    prepare_rhs = False

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, list[float]]:
        geometry, before = self.process_lhs(compiler, connection)
        return f"{geometry} && ST_MakeEnvelope(%s, %s, %s, %s, 4326)", [*before, *self.rhs]


class Peer(models.Model):
    geom = Geometry()
    number = models.TextField()
    object_type = models.TextField()
    accuracy_m = models.FloatField(null=True)
    locked = models.BooleanField()
    withdrawn_at = models.DateTimeField(null=True)

    class Meta:
        app_label = "benchmarks"
        db_table = "peer"
        managed = False


X = Func(F("geom"), function="ST_X", output_field=FloatField())
Y = Func(F("geom"), function="ST_Y", output_field=FloatField())


def _within(frame: Any) -> Any:
    box = (frame.west, frame.south, frame.east, frame.north)
    return Peer.objects.filter(geom__touches=box, locked=False, withdrawn_at__isnull=True)


def peer_in_view(frame: Any) -> int:
    return len(list(_within(frame).values_list("pk", "number", "object_type", X, Y, "accuracy_m")))


def peer_in_clusters(frame: Any) -> int:
    size = 64 * 360 / 256 / 2**frame.zoom
    tile = Func(F("geom"), size, function="ST_SnapToGrid", output_field=Geometry())
    rows = (
        _within(frame).values(tile=tile).annotate(n=Count("*"), x=Avg(X), y=Avg(Y)).values_list("n", "x", "y")
    )
    return sum(row[0] for row in rows)
