"""Photographs of an incident, kept with it."""

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("hunts", "0001_squashed_0011_past_outings"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="IncidentPhoto",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("display", models.FileField(upload_to="photos/")),
                ("thumb", models.FileField(upload_to="photos/")),
                ("width", models.PositiveIntegerField()),
                ("height", models.PositiveIntegerField()),
                ("taken_at", models.DateTimeField(blank=True, null=True)),
                ("original_sha256", models.CharField(max_length=64)),
                ("caption", models.CharField(blank=True, max_length=160, verbose_name="Caption")),
                ("added_at", models.DateTimeField()),
                (
                    "added_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "incident",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photos",
                        to="hunts.incident",
                    ),
                ),
            ],
            options={
                "ordering": ["incident", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("incident", "original_sha256"), name="incident_photo_once"
                    )
                ],
            },
        ),
    ]
