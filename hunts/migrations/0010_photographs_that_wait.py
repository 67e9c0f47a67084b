"""Take over photographs that wait for their form from the finds; the table stays as it is."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

taken_over = migrations.CreateModel(
    name="PhotoDraft",
    fields=[
        (
            "id",
            models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID"),
        ),
        ("form_key", models.UUIDField()),
        ("slot", models.CharField(default="photos", max_length=20)),
        ("made_at", models.DateTimeField()),
        ("expires_at", models.DateTimeField()),
        ("sha256", models.CharField(max_length=64)),
        ("display", models.BinaryField()),
        ("thumb", models.BinaryField()),
        ("width", models.PositiveIntegerField()),
        ("height", models.PositiveIntegerField()),
        ("taken_at", models.DateTimeField(null=True)),
        ("kind", models.CharField(max_length=8)),
        (
            "made_by",
            models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
    ],
    options={
        "db_table": "finds_photodraft",
        "ordering": ["pk"],
        "constraints": [
            models.UniqueConstraint(fields=("made_by", "form_key", "slot", "sha256"), name="photo_draft_once")
        ],
    },
)


class Migration(migrations.Migration):
    dependencies = [
        ("hunts", "0009_what_was_noticed_at_the_end"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]
    operations = [migrations.SeparateDatabaseAndState(state_operations=[taken_over])]
