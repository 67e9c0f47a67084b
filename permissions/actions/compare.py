"""Compare sites with protected places when either changes, inside the action that changes it."""

from django.db.models import Max

from permissions.models import ProtectedLayer, ProtectedNear, Site
from permissions.protected import PlaceIndex, places_round, rows_for

_A_BATCH = 500


def compare_layer(layer: ProtectedLayer) -> None:
    """Every site with one layer, whose places or margin have changed."""
    ProtectedNear.objects.filter(place__layer=layer).delete()
    index = PlaceIndex([(place, layer.buffer_m) for place in layer.places.all()])
    sites = Site.objects.only("boundary").exclude(min_lat__isnull=True)
    rows = [row for site in sites for row in rows_for(site, index.near(site.boundary))]
    ProtectedNear.objects.bulk_create(rows, batch_size=_A_BATCH)


def compare_site(site: Site) -> None:
    """One site, whose boundary has changed, with every layer."""
    ProtectedNear.objects.filter(site=site).delete()
    widest = ProtectedLayer.objects.aggregate(m=Max("buffer_m"))["m"]
    if widest is None or not site.boundary:
        return
    index = PlaceIndex(places_round(site, widest))
    ProtectedNear.objects.bulk_create(rows_for(site, index.near(site.boundary)))
