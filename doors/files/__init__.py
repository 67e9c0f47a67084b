"""Collections as files in open formats: GeoJSON, GPX, KML, CSV with its dictionary, shapefile."""
