"""Work out the wide cells of finds that are there."""

from django.db import migrations
from django.db.models import F

from finds.squares import WIDE_SHIFT


def fill(apps, schema_editor):
    Find = apps.get_model("finds", "Find")
    Find.objects.filter(cell__isnull=False, square_cell__isnull=False).update(
        wide_cell=F("cell").bitrightshift(WIDE_SHIFT),
        square_wide_cell=F("square_cell").bitrightshift(WIDE_SHIFT),
    )


class Migration(migrations.Migration):
    dependencies = [("finds", "0013_wide_maps_of_finds")]
    operations = [migrations.RunPython(fill, migrations.RunPython.noop)]
