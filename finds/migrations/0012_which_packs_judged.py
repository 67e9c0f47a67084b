"""Keep which packs judged each find, with their versions and content, and what screening again changed.

New columns rebuild a ledger's table on SQLite, which drops its triggers: they are taken off and put on again.
"""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from web.append_only import GuardAppendOnly

screenings = GuardAppendOnly("finds_screeningrecord")
guard = GuardAppendOnly("finds_screeningrecord", "finds_rescreenedfind")


class Migration(migrations.Migration):
    dependencies = [
        ("finds", "0011_the_record_in_full"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(screenings.backwards, screenings.forwards),
        migrations.AddField(
            model_name="find",
            name="judged_by",
            field=models.CharField(blank=True, db_index=True, editable=False, max_length=64),
        ),
        migrations.AddField(
            model_name="screeningrecord",
            name="answered",
            field=models.JSONField(default=list),
        ),
        migrations.AddField(
            model_name="screeningrecord",
            name="judged_by",
            field=models.CharField(blank=True, db_index=True, max_length=64),
        ),
        migrations.AddField(
            model_name="screeningrecord",
            name="packs",
            field=models.JSONField(default=list),
        ),
        migrations.CreateModel(
            name="Rescreening",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("started_at", models.DateTimeField()),
                ("finished_at", models.DateTimeField(blank=True, null=True)),
                ("waiting", models.PositiveIntegerField()),
                ("packs", models.JSONField(default=list)),
                ("prints", models.JSONField(default=dict)),
                (
                    "by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-started_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="RescreenedFind",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed", models.BooleanField()),
                ("changes", models.JSONField(default=list)),
                (
                    "after",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="finds.screeningrecord",
                    ),
                ),
                (
                    "before",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="finds.screeningrecord",
                    ),
                ),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="finds.find"
                    ),
                ),
                (
                    "run",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="finds",
                        to="finds.rescreening",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("run", "find"), name="rescreened_once_a_run")
                ],
            },
        ),
        migrations.RunPython(guard.forwards, guard.backwards),
    ]
