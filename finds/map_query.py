"""What lies in a frame of the map of finds: points, squares, or clusters of either, counted by the database.

Two layers with the same question. Those who may see findspots are answered from the finds' own places; everybody
else from the middles of their 1 km squares, whose columns are all that those queries name. Nothing else about a
hidden place takes part in an answer, so no frame or zoom narrows it below its square.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Exists, F, Max, Min, OuterRef, Q, Sum

from finds.forms.filters import season_days
from finds.models import FindMaterial
from finds.models.find import FindQuerySet
from finds.squares import WIDE_ZOOM
from geo.morton import CELL_ZOOM, cells_across

Cluster = tuple[int, float, float]

MOST_POINTS = 2000
POINTS_FROM = 12  # zoom: about 22 m a pixel in Britain
SQUARES_FROM = 11  # a square is some 25 px wide there
CLUSTER_BITS = 2  # clusters are counted by tiles of 64 px: two zooms finer than the map's own of 256 px
MOST_WIDE = 128  # wide tiles named in a question; a frame with more is a good part of the country
MOST_TILES = 48  # of 256 px across a frame; a wider frame is answered at a coarser zoom
SQUARE_REACH_DEG = 0.0066  # half the diagonal of a square (707 m) is at most 0.0064° of latitude


@dataclass(frozen=True)
class Frame:
    """A rectangle in degrees and the zoom of the map (tiles of 256 px)."""

    west: float
    south: float
    east: float
    north: float
    zoom: int

    @property
    def counted_zoom(self) -> int:
        """The zoom at which clusters are counted: never so fine that a frame holds more tiles than a screen."""
        across = max(self.east - self.west, 2 * (self.north - self.south), 1e-9)
        return max(0, min(self.zoom, int(math.log2(360 * MOST_TILES / across)), CELL_ZOOM - CLUSTER_BITS))

    @property
    def with_squares(self) -> "Frame":
        """The frame widened so that it holds the middle of every square that reaches into it."""
        far = min(max(abs(self.south), abs(self.north)), 85.0)
        beside = SQUARE_REACH_DEG / math.cos(math.radians(far))
        return Frame(
            self.west - beside,
            self.south - SQUARE_REACH_DEG,
            self.east + beside,
            self.north + SQUARE_REACH_DEG,
            self.zoom,
        )


@dataclass(frozen=True)
class Layer:
    """The columns that answer a question of place: the finds' own, or their squares' middles."""

    lon: str
    lat: str
    cell: str
    wide_cell: str

    def within(self, finds: FindQuerySet, frame: Frame) -> FindQuerySet:
        """The finds of this layer in the frame, in no order.

        The wide tiles that the frame touches say nothing new; with them one index finds the few rows round it.
        """
        ranges: dict[str, Any] = {
            f"{self.lat}__range": (frame.south, frame.north),
            f"{self.lon}__range": (frame.west, frame.east),
        }
        tiles = cells_across(frame.west, frame.south, frame.east, frame.north, WIDE_ZOOM, most=MOST_WIDE)
        if tiles is not None:
            ranges[f"{self.wide_cell}__in"] = tiles
        return finds.filter(**ranges).order_by()

    def clusters(self, finds: FindQuerySet, frame: Frame) -> list[Cluster]:
        """Count and mean longitude and latitude of each tile of 64 px that holds any."""
        tile_zoom = frame.counted_zoom + CLUSTER_BITS
        is_wide = tile_zoom <= WIDE_ZOOM
        shift = 0 if is_wide else 2 * (CELL_ZOOM - tile_zoom)
        tile = F(self.wide_cell) if is_wide else F(self.cell).bitrightshift(shift)
        # Sums and not means: the mean of a column costs PostgreSQL several times as much, and joining needs the sums.
        sums = {"n": Count("*"), "x": Sum(self.lon), "y": Sum(self.lat)}
        rows = self.within(finds, frame).values(tile=tile).annotate(**sums).values_list("tile", *sums)
        return _joined(rows, 2 * (WIDE_ZOOM - tile_zoom) if is_wide else 0)

    def extent(self, finds: FindQuerySet) -> Frame | None:
        """The frame that holds all finds of this layer, at a zoom that shows it on 1,024 px; None without any."""
        lon, lat = self.lon, self.lat
        ends = finds.order_by().aggregate(w=Min(lon), s=Min(lat), e=Max(lon), n=Max(lat))
        if ends["w"] is None:
            return None
        across = max(ends["e"] - ends["w"], 2 * (ends["n"] - ends["s"]), 0.005)
        return Frame(ends["w"], ends["s"], ends["e"], ends["n"], int(math.log2(360 * 4 / across)))


def _joined(rows: Iterable[tuple[int, int, float, float]], shift: int) -> list[Cluster]:
    """Tiles of (tile, count, sum of lon, sum of lat) joined to those `shift` bits coarser, with means."""
    sums: dict[int, list[float]] = {}
    for tile, count, lon, lat in rows:
        known = sums.setdefault(tile >> shift, [0, 0.0, 0.0])
        known[0] += count
        known[1] += lon
        known[2] += lat
    return [(int(n), x / n, y / n) for n, x, y in sums.values()]


EXACT = Layer("lon", "lat", "cell", "wide_cell")
SQUARES = Layer("square_lon", "square_lat", "square_cell", "square_wide_cell")
POINT_COLUMNS = ("pk", "number", "object_type", "lon", "lat", "accuracy_m")


def points(finds: FindQuerySet, frame: Frame) -> list[Any] | None:
    """The finds' own places in the frame as POINT_COLUMNS, or None where there are more than MOST_POINTS."""
    rows = list(EXACT.within(finds, frame).values_list(*POINT_COLUMNS)[: MOST_POINTS + 1])
    return rows if len(rows) <= MOST_POINTS else None


def squares(finds: FindQuerySet, frame: Frame) -> list[Any] | None:
    """Count and middle (lon, lat) of each square that reaches into the frame; None for more than MOST_POINTS."""
    groups = SQUARES.within(finds, frame.with_squares).values("square_lon", "square_lat")
    rows = groups.annotate(n=Count("*")).values_list("n", "square_lon", "square_lat")[: MOST_POINTS + 1]
    return list(rows) if len(rows) <= MOST_POINTS else None


def narrowed(finds: FindQuerySet, asked: Mapping[str, Any]) -> FindQuerySet:
    """The finds that FindFilterForm's answers leave in; a range of years leaves in what may be of those years."""
    if "q" in asked:
        finds = finds.filter(object_type__icontains=asked["q"])
    if "period" in asked:
        finds = finds.filter(period__icontains=asked["period"])
    if "year_from" in asked or "year_to" in asked:
        finds = finds.exclude(year_from__isnull=True, year_to__isnull=True)
    if "year_from" in asked:
        finds = finds.filter(Q(year_to__isnull=True) | Q(year_to__gte=asked["year_from"]))
    if "year_to" in asked:
        finds = finds.filter(Q(year_from__isnull=True) | Q(year_from__lte=asked["year_to"]))
    if "material" in asked:
        made_of = FindMaterial.objects.filter(find=OuterRef("pk"), material=asked["material"])
        finds = finds.filter(Exists(made_of))
    if "hunt" in asked:
        finds = finds.filter(hunt__code__iexact=asked["hunt"])
    if "site" in asked:
        finds = finds.filter(site__code__iexact=asked["site"])
    if "season" in asked:
        finds = finds.filter(hunt__on__range=season_days(asked["season"]))
    return finds
