"""The record in full: terms with identifiers, where years come from, EDTF, materials in words, links between finds."""

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("finds", "0010_guard_pairs_and_groups"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="FindLink",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("note", models.CharField(max_length=160, verbose_name="How they belong together")),
                ("made_at", models.DateTimeField()),
            ],
            options={
                "ordering": ["pk"],
            },
        ),
        migrations.RemoveConstraint(
            model_name="findmaterial",
            name="find_material_once",
        ),
        migrations.AddField(
            model_name="find",
            name="edtf",
            field=models.CharField(blank=True, max_length=60, verbose_name="Date in EDTF, if you know it"),
        ),
        migrations.AddField(
            model_name="find",
            name="identified_on",
            field=models.DateField(blank=True, null=True, verbose_name="Identified on"),
        ),
        migrations.AddField(
            model_name="find",
            name="inscription",
            field=models.CharField(blank=True, max_length=300, verbose_name="Inscription or marks"),
        ),
        migrations.AddField(
            model_name="find",
            name="land_use",
            field=models.CharField(blank=True, max_length=60, verbose_name="Land use"),
        ),
        migrations.AddField(
            model_name="find",
            name="object_scheme",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name="find",
            name="object_uri",
            field=models.CharField(blank=True, max_length=200),
        ),
        migrations.AddField(
            model_name="find",
            name="period_scheme",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name="find",
            name="period_uri",
            field=models.CharField(blank=True, max_length=200),
        ),
        migrations.AddField(
            model_name="find",
            name="years_source",
            field=models.CharField(
                blank=True,
                choices=[
                    ("typed", "typed"),
                    ("period", "the whole of the period"),
                    ("edtf", "the date in EDTF"),
                ],
                max_length=6,
            ),
        ),
        migrations.AddField(
            model_name="findmaterial",
            name="scheme",
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name="findmaterial",
            name="uri",
            field=models.CharField(blank=True, max_length=200),
        ),
        migrations.AddField(
            model_name="findmaterial",
            name="words",
            field=models.CharField(blank=True, max_length=60),
        ),
        migrations.AddField(
            model_name="findphoto",
            name="has_scale",
            field=models.BooleanField(default=False, verbose_name="With a scale in the picture"),
        ),
        migrations.AddConstraint(
            model_name="findmaterial",
            constraint=models.UniqueConstraint(
                fields=("find", "material", "words"), name="find_material_once"
            ),
        ),
        migrations.AddField(
            model_name="findlink",
            name="first",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to="finds.find"
            ),
        ),
        migrations.AddField(
            model_name="findlink",
            name="made_by",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
        migrations.AddField(
            model_name="findlink",
            name="second",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to="finds.find"
            ),
        ),
        migrations.AddConstraint(
            model_name="findlink",
            constraint=models.UniqueConstraint(fields=("first", "second"), name="find_link_once"),
        ),
        migrations.AddConstraint(
            model_name="findlink",
            constraint=models.CheckConstraint(
                condition=models.Q(("first__lt", models.F("second"))), name="find_link_in_order"
            ),
        ),
    ]
