"""The cells that wide maps are counted by, and indexes that hold every column of their own condition."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("finds", "0012_which_packs_judged"),
    ]

    operations = [
        migrations.RemoveIndex(
            model_name="find",
            name="find_on_map",
        ),
        migrations.RemoveIndex(
            model_name="find",
            name="find_on_members_map",
        ),
        migrations.AddField(
            model_name="find",
            name="square_wide_cell",
            field=models.IntegerField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name="find",
            name="wide_cell",
            field=models.IntegerField(editable=False, null=True),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(
                condition=models.Q(("locked", False), ("withdrawn_at__isnull", True)),
                fields=["lat", "lon", "cell", "locked", "withdrawn_at"],
                name="find_on_map",
            ),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(
                condition=models.Q(("locked", False), ("withdrawn_at__isnull", True)),
                fields=["wide_cell", "lon", "lat", "locked", "withdrawn_at"],
                name="find_on_wide_map",
            ),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(
                condition=models.Q(("locked", False), ("withdrawn_at__isnull", True)),
                fields=["square_lat", "square_lon", "square_cell", "locked", "withdrawn_at"],
                name="find_on_members_map",
            ),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(
                condition=models.Q(("locked", False), ("withdrawn_at__isnull", True)),
                fields=["square_wide_cell", "square_lon", "square_lat", "locked", "withdrawn_at"],
                name="find_on_members_wide_map",
            ),
        ),
    ]
