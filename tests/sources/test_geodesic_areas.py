"""Areas and distances on the ellipsoid against published values, and against other projections of the same
field.

GL: GeographicLib documentation and test suite (Karney, Algorithms for geodesics, J. Geodesy 87, 2013).
"""

import numpy as np
import pytest
import shapely
from pyproj import Transformer

from geo.local import Local
from geo.measure import GEOD, acres, area_m2, area_perimeter, hectares

# GL: the outline of Antarctica in the documentation of the planimeter, latitude and longitude.
ANTARCTICA = [
    (-63.1, -58), (-72.9, -74), (-71.9, -102), (-74.9, -102), (-74.3, -131), (-77.5, -163),
    (-77.4, 163), (-71.7, 172), (-65.9, 140), (-65.7, 113), (-66.6, 88), (-66.9, 59),
    (-69.8, 25), (-70.0, -4), (-71.0, -14), (-77.3, -33), (-77.9, -46), (-74.7, -61),
]  # fmt: skip
FIELDS = [(-2.0, 52.5), (1.3, 52.63), (-5.54, 50.12), (-7.3, 57.6), (-6.26, 53.35), (0.2, 53.65)]


def ring(*lat_lon: tuple[float, float]) -> dict:
    positions = [[lon, lat] for lat, lon in lat_lon]
    return {"type": "Polygon", "coordinates": [[*positions, positions[0]]]}


def test_published_diamond_on_the_equator():
    """GL: 24619419146 m2 and 627598.2731 m."""
    area, perimeter = area_perimeter(ring((0, -1), (-1, 0), (0, 1), (1, 0)))
    assert area == pytest.approx(24619419146, abs=1.0)
    assert perimeter == pytest.approx(627598.2731, abs=1e-4)


def test_published_triangle():
    """GL: 18454562325.45119 m2."""
    assert area_m2(ring((2, 1), (1, 2), (3, 3))) == pytest.approx(18454562325.45119, abs=1e-3)


def test_published_outline_of_antarctica():
    """GL: 13662703680020.1 m2 and 16831067.893 m, measured as the planimeter does (the ring goes round the
    pole).
    """
    lats, lons = np.array(ANTARCTICA, dtype=float).T
    area, perimeter = GEOD.polygon_area_perimeter(lons, lats)
    assert abs(area) == pytest.approx(13662703680020.1, abs=0.1)
    assert perimeter == pytest.approx(16831067.893, abs=1e-3)


@pytest.mark.parametrize(
    ("start", "end", "azimuth", "metres", "tolerance"),
    [
        ((40.6, -73.8), (49.01666667, 2.55), 53.47022, 5853226, 0.5),
        ((-41.32, 174.81), (40.96, -5.50), 161.06766998616, 19959679.26735382, 1e-6),
    ],
)
def test_published_inverse_problems(start, end, azimuth, metres, tolerance):
    """GL: New York to Paris and Wellington to Salamanca."""
    az, _, distance = GEOD.inv(start[1], start[0], end[1], end[0])
    assert distance == pytest.approx(metres, abs=tolerance)
    assert az == pytest.approx(azimuth, abs=1e-5)


def square_field(lon: float, lat: float, side_m: float = 316.227766) -> shapely.Polygon:
    half = side_m / 2
    return Local(lon, lat).to_degrees(shapely.box(-half, -half, half, half))


@pytest.mark.parametrize(("lon", "lat"), FIELDS)
def test_the_flat_grid_agrees_with_the_ellipsoid_to_a_part_in_ten_million(lon, lat):
    """An independent way to the same area: planar shoelace in a local transverse Mercator against Karney."""
    field = square_field(lon, lat)
    assert area_m2(field) == pytest.approx(100_000, rel=1e-7)


@pytest.mark.parametrize(("lon", "lat"), FIELDS)
def test_an_equal_area_projection_agrees_too(lon, lat):
    """And by a third way, Lambert azimuthal equal area centred 3 km off the field."""
    laea = Transformer.from_pipeline(
        "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad "
        f"+step +proj=laea +lat_0={lat + 0.02} +lon_0={lon + 0.03} +ellps=WGS84"
    )
    field = square_field(lon, lat)
    flat = shapely.transform(field, lambda c: np.column_stack(laea.transform(c[:, 0], c[:, 1])))
    assert flat.area == pytest.approx(area_m2(field), rel=1e-6)


def test_web_mercator_would_have_been_wrong_by_more_than_half():
    """Why no area is taken from the map's own projection: 10 ha at 52.5 N would read 26.9 ha."""
    mercator = Transformer.from_crs(4326, 3857, always_xy=True)
    field = square_field(-2.0, 52.5)
    flat = shapely.transform(field, lambda c: np.column_stack(mercator.transform(c[:, 0], c[:, 1])))
    assert flat.area - area_m2(field) == pytest.approx(169_374, rel=0.01)


def test_units_of_land():
    """1 ha is 10,000 m2; the acre is 4840 square yards (Weights and Measures Act 1985, schedule 1, part II)
    of 0.9144 m.
    """
    assert hectares(100_000) == 10
    assert acres(4840 * 0.9144**2) == pytest.approx(1.0, rel=1e-12)
    assert acres(10_000) == pytest.approx(2.4710538, abs=1e-7)
