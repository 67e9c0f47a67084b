"""Keep pairs that may be one find, and what became of same-find groups."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import finds.states


class Migration(migrations.Migration):
    dependencies = [
        ("finds", "0008_weights_as_typed_and_photographs_that_wait"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="GroupEvent",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField()),
                (
                    "verb",
                    models.CharField(
                        choices=[
                            ("joined", "Put in"),
                            ("left", "Taken out"),
                            ("withdrawn", "Record withdrawn"),
                            ("alone", "Left alone, so no group any more"),
                        ],
                        max_length=9,
                    ),
                ),
                ("words", models.TextField(blank=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="group_events",
                        to="finds.find",
                    ),
                ),
                (
                    "group",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="events",
                        to="finds.findgroup",
                    ),
                ),
            ],
            options={
                "ordering": ["at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="PairSuggestion",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("open", "open"),
                            ("asked", "asked"),
                            ("same", "same"),
                            ("apart", "apart"),
                            ("gone", "gone"),
                        ],
                        default=finds.states.PairState["OPEN"],
                        max_length=5,
                    ),
                ),
                ("score", models.FloatField()),
                ("distance_m", models.FloatField(null=True)),
                ("reach_m", models.FloatField(null=True)),
                ("reasons", models.JSONField(default=list)),
                ("facts_digest", models.CharField(max_length=64)),
                ("made_at", models.DateTimeField()),
                ("changed_at", models.DateTimeField()),
                ("asked_at", models.DateTimeField(null=True)),
                (
                    "first",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="finds.find"
                    ),
                ),
                (
                    "proposed_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "second",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="finds.find"
                    ),
                ),
            ],
            options={
                "ordering": ["-score", "pk"],
            },
        ),
        migrations.CreateModel(
            name="PairEvent",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField()),
                (
                    "verb",
                    models.CharField(
                        choices=[
                            ("proposed", "The finder thinks they belong together"),
                            ("asked", "The finder was asked"),
                            ("answered", "The finder answered"),
                            ("same", "Same find"),
                            ("apart", "Not the same find"),
                            ("again", "What is known changed since"),
                        ],
                        max_length=8,
                    ),
                ),
                ("words", models.TextField(blank=True)),
                ("facts_digest", models.CharField(max_length=64)),
                (
                    "by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "pair",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="events",
                        to="finds.pairsuggestion",
                    ),
                ),
            ],
            options={
                "ordering": ["at", "pk"],
            },
        ),
        migrations.AddIndex(
            model_name="pairsuggestion",
            index=models.Index(fields=["state", "-score", "id"], name="pair_worth_looking"),
        ),
        migrations.AddConstraint(
            model_name="pairsuggestion",
            constraint=models.UniqueConstraint(fields=("first", "second"), name="pair_once"),
        ),
        migrations.AddConstraint(
            model_name="pairsuggestion",
            constraint=models.CheckConstraint(
                condition=models.Q(("first__lt", models.F("second"))), name="pair_in_order"
            ),
        ),
        migrations.AddConstraint(
            model_name="pairsuggestion",
            constraint=models.CheckConstraint(
                condition=models.Q(("state__in", ["open", "asked", "same", "apart", "gone"])),
                name="pair_state_known",
            ),
        ),
    ]
