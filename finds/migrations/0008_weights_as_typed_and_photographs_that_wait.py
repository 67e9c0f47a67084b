"""Keep a weight as it was typed, room for several readings of a place, and photographs whose form is shown again."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("finds", "0007_drills_of_finds"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name="find",
            name="weight_as_typed",
            field=models.CharField(blank=True, max_length=40),
        ),
        migrations.AlterField(
            model_name="find",
            name="position_text",
            field=models.CharField(blank=True, default="", max_length=1200),
        ),
        migrations.CreateModel(
            name="PhotoDraft",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("form_key", models.UUIDField()),
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
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("made_by", "form_key", "sha256"), name="photo_draft_once")
                ],
            },
        ),
    ]
