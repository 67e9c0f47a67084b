"""Work out the square of each find that was recorded before finds kept it."""

from django.db import migrations

from finds.squares import map_columns
from geo.position import Country
from permissions.models.site import COUNTRIES

A_BATCH = 1000


def fill(apps, schema_editor):
    Find = apps.get_model("finds", "Find")
    rows = (
        Find.objects.filter(lat__isnull=False, square_lat__isnull=True).select_related("site").order_by("pk")
    )
    while batch := list(rows[:A_BATCH]):
        for find in batch:
            country = COUNTRIES.get(find.site.jurisdiction, Country.OTHER)
            for name, value in map_columns(find.lon, find.lat, country).items():
                setattr(find, name, value)
        Find.objects.bulk_update(batch, ["cell", "square_lon", "square_lat", "square_cell"])


class Migration(migrations.Migration):
    dependencies = [("finds", "0004_place_of_finds_on_maps")]
    operations = [migrations.RunPython(fill, migrations.RunPython.noop)]
