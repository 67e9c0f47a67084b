"""Who holds the land of a site, where the law tells lands apart by it."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("permissions", "0008_codes_for_private_pages"),
    ]

    operations = [
        migrations.AddField(
            model_name="site",
            name="land_status",
            field=models.CharField(
                choices=[
                    ("unknown", "Not known"),
                    ("national_park", "National park"),
                    ("national_forest", "National forest"),
                    ("refuge", "Wildlife refuge"),
                    ("federal_other", "Other federal land"),
                    ("tribal", "Tribal land"),
                    ("state", "State land"),
                    ("local", "County, city or another local body"),
                    ("private", "Private land"),
                ],
                default="unknown",
                max_length=15,
                verbose_name="Who holds the land",
            ),
        ),
    ]
