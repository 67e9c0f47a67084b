"""Boundaries and protected places out of the files that people have: GeoJSON, KML and KMZ, GPX, zipped
shapefile and WKT.
"""

from geo.files.model import CrsChoice, CrsUnknownError, FileError, NamedShape, ReadFile
from geo.files.read import read_boundaries, read_places

__all__ = [
    "CrsChoice",
    "CrsUnknownError",
    "FileError",
    "NamedShape",
    "ReadFile",
    "read_boundaries",
    "read_places",
]
