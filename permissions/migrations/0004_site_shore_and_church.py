"""Say of each site whether it is shore or tidal ground, and whether it is church land; the law asks for both."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("permissions", "0003_evidence_by_own_name"),
    ]

    operations = [
        migrations.AddField(
            model_name="site",
            name="church_land",
            field=models.CharField(
                choices=[("yes", "Yes"), ("no", "No"), ("unknown", "Not known")],
                default="unknown",
                max_length=7,
                verbose_name="Is it church land?",
            ),
        ),
        migrations.AddField(
            model_name="site",
            name="tidal",
            field=models.CharField(
                choices=[("yes", "Yes"), ("no", "No"), ("unknown", "Not known")],
                default="unknown",
                max_length=7,
                verbose_name="Is it shore or tidal ground?",
            ),
        ),
    ]
