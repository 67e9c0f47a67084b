"""Paper under a printed map: where degrees fall on it, and the few SVG elements the map is made of."""

from dataclasses import dataclass, field
from html import escape

import numpy as np
import shapely

from geo.local import Local

_MARGIN = 0.07
_LEAST_M = 60.0
INK, PAPER, LINE, CLAY = "#1d1a16", "#ffffff", "#8c8478", "#8f4a24"


def plain(text: str) -> str:
    """Text safe inside XML: escaped, without the characters that XML 1.0 forbids."""
    return escape("".join(c for c in text if c.isprintable()).replace("\ufffe", "").replace("\uffff", ""))


def tag(name: str, body: str = "", /, **attributes: object) -> str:
    """One element; `stroke_width` becomes stroke-width, a number is cut to two decimals, None is left out."""
    parts = [
        f' {key.rstrip("_").replace("_", "-")}="{_number(value) if isinstance(value, float) else value}"'
        for key, value in attributes.items()
        if value is not None
    ]
    return f"<{name}{''.join(parts)}>{body}</{name}>" if body else f"<{name}{''.join(parts)}/>"


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


@dataclass
class Frame:
    """A rectangle of paper in pixels and the ground it shows, north up; remembers where labels are."""

    width_px: float
    height_px: float
    local: Local
    west_m: float
    north_m: float
    px_per_m: float
    unit: float
    taken: list[tuple[float, float, float, float]] = field(default_factory=list)

    @classmethod
    def around(cls, extent: shapely.Geometry, width_px: float, height_px: float, unit: float) -> "Frame":
        """The frame that shows all of a lon/lat geometry with a margin, at least 60 m of ground across."""
        local = Local.around(extent)
        west, south, east, north = local.to_metres(extent).bounds
        across = max(east - west, _LEAST_M) * (1 + 2 * _MARGIN)
        up = max(north - south, _LEAST_M * height_px / width_px) * (1 + 2 * _MARGIN)
        scale = min(width_px / across, height_px / up)
        middle_x, middle_y = (west + east) / 2, (south + north) / 2
        west_m, north_m = middle_x - width_px / scale / 2, middle_y + height_px / scale / 2
        return cls(width_px, height_px, local, west_m, north_m, scale, unit)

    def at(self, lon: float, lat: float) -> tuple[float, float]:
        """Pixels from the top left."""
        x, y = self.local.forward(lon, lat)
        return (float(x) - self.west_m) * self.px_per_m, (self.north_m - float(y)) * self.px_per_m

    def corners(self) -> list[tuple[float, float]]:
        """The four corners in lon/lat degrees."""
        east, south = (
            self.west_m + self.width_px / self.px_per_m,
            self.north_m - self.height_px / self.px_per_m,
        )
        lon, lat = self.local.inverse(
            [self.west_m, east, east, self.west_m], [south, south, self.north_m, self.north_m]
        )
        return list(zip(lon.tolist(), lat.tolist(), strict=True))

    def shows(self, x: float, y: float) -> bool:
        return 0 <= x <= self.width_px and 0 <= y <= self.height_px

    def path(self, geometry: shapely.Geometry) -> str:
        """Path data for the lines and rings of a lon/lat geometry; points draw nothing."""
        data: list[str] = []
        for part in shapely.get_parts(geometry).tolist():
            if part.geom_type == "Polygon":
                data += [self._line(ring.coords) + "Z" for ring in (part.exterior, *part.interiors)]
            elif part.geom_type in ("LineString", "LinearRing"):
                data.append(self._line(part.coords))
            elif part.geom_type.startswith(("Multi", "Geometry")):
                data.append(self.path(part))
        return "".join(data)

    def _line(self, coords: object) -> str:
        degrees = np.asarray(coords, dtype=float)
        x, y = self.local.forward(degrees[:, 0], degrees[:, 1])
        px, py = (x - self.west_m) * self.px_per_m, (self.north_m - y) * self.px_per_m
        points = [f"{a:.1f} {b:.1f}" for a, b in zip(px.tolist(), py.tolist(), strict=True)]
        kept = [p for i, p in enumerate(points) if i == 0 or p != points[i - 1]]
        return "M" + "L".join(kept)

    def text(self, x: float, y: float, words: str, *, size: float = 10, **attributes: object) -> str:
        """Words with a paper halo, so that they read over lines and hatching."""
        look: dict[str, object] = {
            "font_size": size * self.unit,
            "fill": INK,
            "stroke": PAPER,
            "stroke_width": 2.6 * self.unit,
            "stroke_linejoin": "round",
            "paint_order": "stroke",
            **attributes,
        }
        return tag("text", plain(words), x=x, y=y, **look)

    def label(self, x: float, y: float, words: str, *, reach: float = 6, size: float = 10) -> str:
        """Words beside a mark, on the first free side; nothing when every side is taken by another label."""
        if not words or not self.shows(x, y):
            return ""
        wide, high, gap = len(words) * size * 0.58 * self.unit, size * self.unit, reach * self.unit
        for left, base in (
            (x + gap, y + high * 0.36),
            (x - gap - wide, y + high * 0.36),
            (x - wide / 2, y - gap),
            (x - wide / 2, y + gap + high * 0.8),
        ):
            box = (left, base - high, left + wide, base)
            if (
                self.shows(*box[:2])
                and self.shows(*box[2:])
                and not any(_meet(box, other) for other in self.taken)
            ):
                self.taken.append(box)
                return self.text(left, base, words, size=size)
        return ""

    def hold(self, x: float, y: float, reach: float) -> None:
        """Keep labels off a mark."""
        r = reach * self.unit
        self.taken.append((x - r, y - r, x + r, y + r))


def _meet(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
