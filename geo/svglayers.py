"""What a printed map shows: layers in WGS84 degrees, drawn in this order from the ground up."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import shapely


class Ground(StrEnum):
    """Kinds of background, each with its own line or fill."""

    HEDGE = "hedge"
    TRACK = "track"
    BECK = "beck"
    WOOD = "wood"
    FARMSTEAD = "farmstead"


@dataclass(frozen=True)
class Shape:
    """A line or area in lon/lat degrees, with a label that may be empty."""

    geometry: shapely.Geometry
    label: str = ""


@dataclass(frozen=True)
class GroundShape:
    """A background line or area in lon/lat degrees."""

    kind: Ground
    geometry: shapely.Geometry
    label: str = ""


@dataclass(frozen=True)
class Mark:
    """A point in degrees with a short label such as its number."""

    lon: float
    lat: float
    label: str = ""


@dataclass(frozen=True)
class HoleMark:
    """A hole: filled ones are solid, open ones a ring with a cross."""

    lon: float
    lat: float
    filled: bool
    label: str = ""


@dataclass(frozen=True)
class Grid:
    """A metre grid to rule over the map: degrees to metres and back, and what to call it."""

    forward: Callable[[float, float], tuple[float, float]]
    inverse: Callable[[float, float], tuple[float, float]]
    name: str


@dataclass(frozen=True)
class Layers:
    """Everything on one map. Only what the reader may see belongs here: this module knows no rights."""

    boundaries: Sequence[Shape] = ()
    no_go: Sequence[Shape] = ()
    covered: Sequence[Shape] = ()
    lanes: Sequence[Shape] = ()
    squares: Sequence[Shape] = ()  # in each of which something lies, nobody here may know where
    holes: Sequence[HoleMark] = ()
    finds: Sequence[Mark] = ()
    ground: Sequence[GroundShape] = ()
    gate: Mark | None = None
    grid: Grid | None = field(default=None, compare=False)

    def extent(self) -> shapely.Geometry:
        """The boundaries, or without any, all that is drawn, as one geometry; empty when there is nothing."""
        shapes = [s.geometry for s in self.boundaries] or [
            *(s.geometry for layer in (self.no_go, self.covered, self.lanes, self.squares) for s in layer),
            *(shape.geometry for shape in self.ground),
            *(shapely.Point(mark.lon, mark.lat) for mark in self.finds),
            *(shapely.Point(mark.lon, mark.lat) for mark in self.holes),
            *([shapely.Point(self.gate.lon, self.gate.lat)] if self.gate else []),
        ]
        return shapely.GeometryCollection([shape for shape in shapes if not shape.is_empty])
