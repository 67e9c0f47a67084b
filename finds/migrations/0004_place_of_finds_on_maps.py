"""The middle of each find's 1 km square beside it, and the indexes that maps are counted from."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("finds", "0003_import_drafts_and_own_reference"),
    ]

    operations = [
        migrations.AddField(
            model_name="find",
            name="square_cell",
            field=models.BigIntegerField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name="find",
            name="square_lat",
            field=models.FloatField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name="find",
            name="square_lon",
            field=models.FloatField(editable=False, null=True),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(
                condition=models.Q(("locked", False), ("withdrawn_at__isnull", True)),
                fields=["lat", "lon", "cell"],
                name="find_on_map",
            ),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(
                condition=models.Q(("locked", False), ("withdrawn_at__isnull", True)),
                fields=["square_lat", "square_lon", "square_cell"],
                name="find_on_members_map",
            ),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(condition=models.Q(("locked", True)), fields=["hunt"], name="find_locked"),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(fields=["-found_at", "-id"], name="find_latest"),
        ),
    ]
