"""Room for several readings of one place, a line each."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("hunts", "0007_guard_incident_events"),
    ]

    operations = [
        migrations.AlterField(
            model_name="hole",
            name="position_text",
            field=models.CharField(blank=True, default="", max_length=1200),
        ),
        migrations.AlterField(
            model_name="incident",
            name="position_text",
            field=models.CharField(blank=True, default="", max_length=1200),
        ),
    ]
