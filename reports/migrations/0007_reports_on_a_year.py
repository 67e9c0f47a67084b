"""Reports on a year, what a leader adds to a visit report, and whom the club has thanked."""

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from web.append_only import GuardAppendOnly

# SQLite makes the table anew when a column comes, and its triggers are lost with the old one.
guard = GuardAppendOnly("reports_issuedreport")


class Migration(migrations.Migration):
    dependencies = [
        ("hunts", "0009_what_was_noticed_at_the_end"),
        ("permissions", "0007_organisers_part"),
        ("reports", "0006_guard_papers"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RunPython(guard.backwards, guard.forwards),
        migrations.CreateModel(
            name="Thanks",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("year", models.PositiveIntegerField()),
                ("on", models.DateField(verbose_name="Thanked on")),
                ("how", models.CharField(max_length=200, verbose_name="With what")),
                ("at", models.DateTimeField()),
            ],
            options={
                "ordering": ["-year", "pk"],
            },
        ),
        migrations.CreateModel(
            name="VisitDraft",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name_people", models.BooleanField(default=True, verbose_name="Name the people who came")),
                ("decide", models.TextField(blank=True, verbose_name="For the landholder to decide")),
                (
                    "next_dates",
                    models.CharField(blank=True, max_length=300, verbose_name="Dates we ask for next"),
                ),
                ("changed_at", models.DateTimeField()),
            ],
            options={
                "ordering": ["hunt"],
            },
        ),
        migrations.AddField(
            model_name="issuedreport",
            name="year",
            field=models.PositiveIntegerField(blank=True, null=True),
        ),
        migrations.AlterField(
            model_name="issuedreport",
            name="kind",
            field=models.CharField(
                choices=[
                    ("visit", "Visit report"),
                    ("holes", "Filled-holes report"),
                    ("returns", "Returns statement"),
                    ("heritage", "Heritage report"),
                    ("year", "Report on a year"),
                ],
                max_length=8,
            ),
        ),
        migrations.AddConstraint(
            model_name="issuedreport",
            constraint=models.UniqueConstraint(
                condition=models.Q(("landholder__isnull", True), ("year__isnull", False)),
                fields=("year", "issue"),
                name="report_issue_once_year",
            ),
        ),
        migrations.AddConstraint(
            model_name="issuedreport",
            constraint=models.UniqueConstraint(
                condition=models.Q(("landholder__isnull", False), ("year__isnull", False)),
                fields=("year", "landholder", "issue"),
                name="report_issue_once_year_landholder",
            ),
        ),
        migrations.AddField(
            model_name="thanks",
            name="by",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
        migrations.AddField(
            model_name="thanks",
            name="landholder",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="thanks",
                to="permissions.landholder",
            ),
        ),
        migrations.AddField(
            model_name="visitdraft",
            name="changed_by",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
        migrations.AddField(
            model_name="visitdraft",
            name="hunt",
            field=models.OneToOneField(
                on_delete=django.db.models.deletion.PROTECT, related_name="visit_draft", to="hunts.hunt"
            ),
        ),
        migrations.AddConstraint(
            model_name="thanks",
            constraint=models.UniqueConstraint(fields=("landholder", "year"), name="thanked_once_a_year"),
        ),
        migrations.RunPython(guard.forwards, guard.backwards),
    ]
