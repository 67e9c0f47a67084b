"""All tables of this app as they were on 26 November 2026, in one step: a new database need not live through 0001 to 0011."""

import uuid

import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import hunts.states
from web.append_only import GuardAppendOnly
from web.one_step import OneStep

guard = GuardAppendOnly(
    "hunts_incidentevent",
)


class Migration(OneStep):
    replaces = [
        ("hunts", "0001_initial"),
        ("hunts", "0002_who_closed_and_who_briefed"),
        ("hunts", "0003_when_the_landholder_was_told"),
        ("hunts", "0004_tracks_and_ground_covered"),
        ("hunts", "0005_kit_guests_and_care"),
        ("hunts", "0006_incidents_that_are_taken_over_and_closed"),
        ("hunts", "0007_guard_incident_events"),
        ("hunts", "0008_room_for_several_readings"),
        ("hunts", "0009_what_was_noticed_at_the_end"),
        ("hunts", "0010_photographs_that_wait"),
        ("hunts", "0011_past_outings"),
    ]

    initial = True

    dependencies = [
        ("people", "0001_squashed_0005_outbox"),
        ("permissions", "0001_squashed_0009_who_holds_the_land"),
    ]

    operations = [
        migrations.CreateModel(
            name="Hole",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "lon",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-180),
                            django.core.validators.MaxValueValidator(180),
                        ],
                    ),
                ),
                (
                    "lat",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-90),
                            django.core.validators.MaxValueValidator(90),
                        ],
                    ),
                ),
                (
                    "accuracy_m",
                    models.FloatField(
                        blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]
                    ),
                ),
                (
                    "position_method",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("device", "Phone or receiver"),
                            ("averaged", "Averaged fixes"),
                            ("typed", "Typed reference"),
                            ("map", "Tapped on the map"),
                            ("photo", "From a photograph"),
                            ("", "Not fixed"),
                        ],
                        default="",
                        max_length=10,
                    ),
                ),
                ("position_text", models.CharField(blank=True, default="", max_length=1200)),
                ("position_system", models.CharField(blank=True, default="", max_length=40)),
                ("transformation", models.CharField(blank=True, default="", max_length=120)),
                ("transformation_accuracy_m", models.FloatField(blank=True, null=True)),
                ("cell", models.BigIntegerField(blank=True, editable=False, null=True)),
                ("number", models.PositiveIntegerField()),
                ("dug_at", models.DateTimeField(verbose_name="Dug at")),
                (
                    "depth_cm",
                    models.PositiveIntegerField(
                        validators=[django.core.validators.MaxValueValidator(200)], verbose_name="Depth (cm)"
                    ),
                ),
                (
                    "ground",
                    models.CharField(
                        choices=[
                            ("stubble", "Stubble"),
                            ("plough", "Plough"),
                            ("drilled", "Drilled or rolled"),
                            ("pasture", "Pasture"),
                            ("wood", "Woodland"),
                            ("dry sand", "Dry sand"),
                            ("wet sand", "Wet salt sand"),
                            ("other", "Other"),
                        ],
                        default="stubble",
                        max_length=10,
                    ),
                ),
                (
                    "outcome",
                    models.CharField(
                        choices=[
                            ("find", "Find kept"),
                            ("scrap", "Scrap, taken away"),
                            ("iron", "Iron, taken away"),
                            ("nothing", "Nothing recovered"),
                            ("stopped", "Stopped (bones, ordnance, deposit)"),
                        ],
                        max_length=10,
                    ),
                ),
                ("target_id", models.IntegerField(blank=True, null=True, verbose_name="Target ID shown")),
                ("notes", models.CharField(blank=True, max_length=300, verbose_name="Notes")),
                ("placing", models.CharField(blank=True, max_length=10)),
                ("placing_probability", models.FloatField(blank=True, null=True)),
                ("locked", models.BooleanField(default=False)),
                (
                    "state",
                    models.CharField(
                        choices=[("dug", "dug"), ("filled", "filled"), ("checked", "checked")],
                        default=hunts.states.HoleState["DUG"],
                        max_length=8,
                    ),
                ),
                ("filled_at", models.DateTimeField(blank=True, null=True)),
                ("checked_at", models.DateTimeField(blank=True, null=True)),
                (
                    "reopened_why",
                    models.CharField(blank=True, max_length=300, verbose_name="Why it was reopened"),
                ),
                (
                    "checked_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "digger",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="holes",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "filled_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="holes",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["hunt", "number"],
            },
        ),
        migrations.CreateModel(
            name="HoleRecheck",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("at", models.DateTimeField()),
                ("sound", models.BooleanField()),
                ("words", models.CharField(blank=True, max_length=300, verbose_name="What you saw")),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "hole",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="rechecks", to="hunts.hole"
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Hunt",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("code", models.CharField(max_length=20, unique=True, verbose_name="Hunt code")),
                ("title", models.CharField(max_length=120, verbose_name="Title")),
                ("on", models.DateField(verbose_name="Date")),
                ("starts_at", models.TimeField(verbose_name="Start")),
                ("ends_at", models.TimeField(verbose_name="Finish")),
                (
                    "past_basis",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("recorded", "A permission that is recorded here"),
                            ("word", "By word"),
                            ("paper", "On paper that is not kept here"),
                            ("unknown", "Not recorded"),
                        ],
                        default="",
                        max_length=10,
                        verbose_name="Permission at the time",
                    ),
                ),
                (
                    "past_why",
                    models.CharField(
                        blank=True, default="", max_length=300, verbose_name="What is known of it"
                    ),
                ),
                (
                    "capacity",
                    models.PositiveIntegerField(
                        validators=[django.core.validators.MinValueValidator(1)], verbose_name="Places"
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("planned", "planned"),
                            ("open", "open"),
                            ("running", "running"),
                            ("closed", "closed"),
                            ("called off", "called off"),
                        ],
                        default=hunts.states.HuntState["PLANNED"],
                        max_length=10,
                    ),
                ),
                ("meeting_point", models.CharField(blank=True, max_length=200, verbose_name="Meeting point")),
                ("briefing", models.TextField(blank=True, verbose_name="Briefing")),
                (
                    "leader_report",
                    models.TextField(blank=True, verbose_name="Leader's paragraph for the landholder"),
                ),
                ("told_at", models.DateTimeField(blank=True, null=True, verbose_name="Landholder told at")),
                (
                    "scrap_kg",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=6,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="Scrap taken away (kg)",
                    ),
                ),
                ("gate_answer", models.JSONField(blank=True, default=dict)),
                ("called_off_why", models.CharField(blank=True, max_length=300)),
                ("started_at", models.DateTimeField(blank=True, null=True)),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
                (
                    "unfilled_why",
                    models.CharField(blank=True, max_length=300, verbose_name="Why holes are still open"),
                ),
                ("noticed", models.TextField(blank=True, verbose_name="Gates, stock, fences and strangers")),
                ("damage", models.TextField(blank=True, verbose_name="Damage")),
                (
                    "closed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "leader",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="led_hunts",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "permission",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="hunts",
                        to="permissions.permission",
                    ),
                ),
            ],
            options={
                "ordering": ["-on", "-pk"],
            },
        ),
        migrations.AddField(
            model_name="hole",
            name="hunt",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="holes", to="hunts.hunt"
            ),
        ),
        migrations.CreateModel(
            name="BlankGround",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("people", models.PositiveIntegerField()),
                ("hours", models.FloatField()),
                ("searchable_m2", models.FloatField()),
                (
                    "hunt",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="blank_ground",
                        to="hunts.hunt",
                    ),
                ),
            ],
            options={
                "ordering": ["hunt"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("hours__gte", 0), ("searchable_m2__gte", 0)),
                        name="blank_ground_not_below_0",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="HuntPlan",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("coil_m", models.FloatField(default=0.28)),
                ("overlap", models.FloatField(default=0.5)),
                ("swing_m_s", models.FloatField(default=0.9)),
                ("swath_m", models.FloatField(default=1.5)),
                ("spacing_m", models.FloatField(default=1.5)),
                ("heading_deg", models.FloatField(blank=True, null=True)),
                ("targets_per_ha", models.FloatField(default=100)),
                ("minutes_per_dig", models.FloatField(default=4)),
                (
                    "people",
                    models.PositiveIntegerField(
                        default=1, validators=[django.core.validators.MinValueValidator(1)]
                    ),
                ),
                ("hours", models.FloatField(default=5)),
                ("changed_at", models.DateTimeField(null=True)),
                (
                    "changed_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "hunt",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="ground_plan",
                        to="hunts.hunt",
                    ),
                ),
            ],
            options={
                "ordering": ["hunt"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("coil_m__gt", 0),
                            ("hours__gt", 0),
                            ("spacing_m__gt", 0),
                            ("swath_m__gt", 0),
                            ("swing_m_s__gt", 0),
                        ),
                        name="hunt_plan_above_zero",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("overlap__gte", 0), ("overlap__lt", 1)),
                        name="hunt_plan_overlap_share",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("people__gte", 1)), name="hunt_plan_has_people"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="HuntSite",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "boundary",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="permissions.boundary",
                    ),
                ),
                (
                    "hunt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="hunt_sites",
                        to="hunts.hunt",
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="hunt_sites",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [models.UniqueConstraint(fields=("hunt", "site"), name="hunt_site_once")],
            },
        ),
        migrations.AddField(
            model_name="hunt",
            name="sites",
            field=models.ManyToManyField(
                related_name="hunts", through="hunts.HuntSite", to="permissions.site"
            ),
        ),
        migrations.CreateModel(
            name="Incident",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "lon",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-180),
                            django.core.validators.MaxValueValidator(180),
                        ],
                    ),
                ),
                (
                    "lat",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-90),
                            django.core.validators.MaxValueValidator(90),
                        ],
                    ),
                ),
                (
                    "accuracy_m",
                    models.FloatField(
                        blank=True, null=True, validators=[django.core.validators.MinValueValidator(0)]
                    ),
                ),
                (
                    "position_method",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("device", "Phone or receiver"),
                            ("averaged", "Averaged fixes"),
                            ("typed", "Typed reference"),
                            ("map", "Tapped on the map"),
                            ("photo", "From a photograph"),
                            ("", "Not fixed"),
                        ],
                        default="",
                        max_length=10,
                    ),
                ),
                ("position_text", models.CharField(blank=True, default="", max_length=1200)),
                ("position_system", models.CharField(blank=True, default="", max_length=40)),
                ("transformation", models.CharField(blank=True, default="", max_length=120)),
                ("transformation_accuracy_m", models.FloatField(blank=True, null=True)),
                ("cell", models.BigIntegerField(blank=True, editable=False, null=True)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("remains", "Bones that may be human"),
                            ("ordnance", "Ordnance"),
                            ("deposit", "Objects lying as they were left"),
                            ("wreck", "Part of a ship or its cargo"),
                            ("aircraft", "Part of a crashed aircraft"),
                            ("injury", "Injury or illness"),
                            ("stock", "Livestock"),
                            ("gate", "Gate, fence or crop"),
                            ("services", "Buried service, pipe or cable"),
                            ("trespass", "Strangers on the land"),
                            ("other", "Other"),
                        ],
                        max_length=10,
                        verbose_name="What kind",
                    ),
                ),
                ("happened_at", models.DateTimeField(verbose_name="When")),
                ("words", models.TextField(verbose_name="What happened")),
                ("told", models.CharField(blank=True, max_length=300, verbose_name="Who was told, and when")),
                ("locked", models.BooleanField(default=False)),
                ("taken_over_at", models.DateTimeField(blank=True, null=True)),
                ("stop_lifted_at", models.DateTimeField(blank=True, null=True)),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
                ("outcome", models.TextField(blank=True, verbose_name="How it ended")),
                (
                    "closed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "hole",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="incidents",
                        to="hunts.hole",
                    ),
                ),
                (
                    "hunt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="incidents", to="hunts.hunt"
                    ),
                ),
                (
                    "recorded_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="incidents",
                        to="permissions.site",
                    ),
                ),
                (
                    "taken_over_by",
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
                "ordering": ["-happened_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("closed_at__isnull", True), ("closed_by__isnull", True), ("outcome", "")
                            ),
                            models.Q(
                                ("closed_at__isnull", False),
                                ("closed_by__isnull", False),
                                models.Q(("outcome", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="incident_closed_with_outcome",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="IncidentEvent",
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
                            ("opened", "Opened"),
                            ("done", "Did what the drill says"),
                            ("taken over", "Took over"),
                            ("taken back", "Took back what was said"),
                            ("said again", "Said it again"),
                            ("lifted", "Let the hunt go on"),
                            ("closed", "Closed"),
                            ("freed", "Opened the place again"),
                        ],
                        max_length=12,
                    ),
                ),
                ("words", models.TextField(blank=True)),
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
                (
                    "incident",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="events",
                        to="hunts.incident",
                    ),
                ),
            ],
            options={
                "ordering": ["at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Kit",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("name", models.CharField(max_length=40, verbose_name="What you call it")),
                ("machine", models.CharField(blank=True, max_length=120, verbose_name="Machine")),
                (
                    "coil_shape",
                    models.CharField(
                        choices=[
                            ("dd round", "Double-D, round"),
                            ("dd long", "Double-D, elliptical"),
                            ("concentric", "Concentric, round"),
                            ("concentric long", "Concentric, elliptical"),
                            ("mono", "Single loop"),
                            ("other", "Other"),
                        ],
                        default="dd long",
                        max_length=16,
                        verbose_name="Coil",
                    ),
                ),
                (
                    "coil_length_cm",
                    models.FloatField(
                        validators=[
                            django.core.validators.MinValueValidator(5),
                            django.core.validators.MaxValueValidator(120),
                        ],
                        verbose_name="Coil length, front to back (cm)",
                    ),
                ),
                (
                    "coil_width_cm",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(5),
                            django.core.validators.MaxValueValidator(120),
                        ],
                        verbose_name="Coil width (cm)",
                    ),
                ),
                (
                    "frequency",
                    models.CharField(blank=True, max_length=40, verbose_name="Frequency (kHz, or multi)"),
                ),
                (
                    "battery_hours",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0.5),
                            django.core.validators.MaxValueValidator(200),
                        ],
                        verbose_name="Battery run time when full (hours)",
                    ),
                ),
                (
                    "ground_scale",
                    models.CharField(blank=True, max_length=40, verbose_name="Scale of its ground setting"),
                ),
                ("added_at", models.DateTimeField()),
                ("retired_on", models.DateField(blank=True, null=True, verbose_name="No longer used from")),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="kits",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["retired_on", "name", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("coil_length_cm__gte", 5), ("coil_length_cm__lte", 120)),
                        name="kit_coil_plausible",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("battery_hours__isnull", True), ("battery_hours__gt", 0), _connector="OR"
                        ),
                        name="kit_battery_positive",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="GroundReading",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("read_at", models.DateTimeField(verbose_name="When")),
                (
                    "environment",
                    models.CharField(
                        choices=[
                            ("dry sand", "Dry sand"),
                            ("wet sand", "Wet salt sand"),
                            ("water", "In the water"),
                            ("arable", "Arable"),
                            ("pasture", "Pasture"),
                            ("woodland", "Woodland"),
                            ("clay", "Clay"),
                            ("mineralised", "Mineralised patch"),
                            ("other", "Other ground"),
                        ],
                        max_length=12,
                        verbose_name="What ground",
                    ),
                ),
                (
                    "value",
                    models.DecimalField(
                        decimal_places=2,
                        max_digits=7,
                        validators=[
                            django.core.validators.MinValueValidator(-9999),
                            django.core.validators.MaxValueValidator(9999),
                        ],
                        verbose_name="Ground setting shown",
                    ),
                ),
                ("scale", models.CharField(max_length=40, verbose_name="On which scale")),
                ("notes", models.CharField(blank=True, max_length=200, verbose_name="Notes")),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="ground_readings",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "hunt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="ground_readings",
                        to="hunts.hunt",
                    ),
                ),
                (
                    "kit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="ground_readings",
                        to="hunts.kit",
                    ),
                ),
            ],
            options={
                "ordering": ["read_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "environment__in",
                                [
                                    "dry sand",
                                    "wet sand",
                                    "water",
                                    "arable",
                                    "pasture",
                                    "woodland",
                                    "clay",
                                    "mineralised",
                                    "other",
                                ],
                            )
                        ),
                        name="ground_reading_environment_known",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="CareTick",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "occasion",
                    models.CharField(
                        choices=[("salt", "After salt water"), ("storage", "Before storage")], max_length=8
                    ),
                ),
                ("since", models.DateField()),
                ("task", models.CharField(max_length=12)),
                ("done_on", models.DateField(verbose_name="Done on")),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "kit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="care_ticks", to="hunts.kit"
                    ),
                ),
            ],
            options={
                "ordering": ["done_on", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("kit", "occasion", "since", "task"), name="care_tick_once"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="BenchTest",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("mode", models.CharField(max_length=60, verbose_name="Mode or programme")),
                (
                    "item",
                    models.CharField(
                        choices=[
                            ("thin silver", "Thin hammered silver"),
                            ("small copper", "Small copper coin"),
                            ("large copper", "Large copper coin"),
                            ("lead shot", "Lead shot"),
                            ("gold ring", "Gold ring"),
                            ("nail", "Iron nail"),
                            ("foil", "Foil"),
                            ("can slug", "Can slug"),
                        ],
                        max_length=12,
                        verbose_name="Item",
                    ),
                ),
                (
                    "distance_cm",
                    models.PositiveIntegerField(
                        choices=[(8, "8 cm"), (10, "10 cm")], verbose_name="Distance"
                    ),
                ),
                (
                    "orientation",
                    models.CharField(
                        choices=[
                            ("face", "Flat, one face"),
                            ("back", "Flat, other face"),
                            ("edge", "On edge"),
                        ],
                        max_length=4,
                        verbose_name="Which way up",
                    ),
                ),
                ("heard", models.BooleanField(verbose_name="Heard")),
                (
                    "first",
                    models.IntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-999),
                            django.core.validators.MaxValueValidator(999),
                        ],
                        verbose_name="First reading",
                    ),
                ),
                (
                    "second",
                    models.IntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-999),
                            django.core.validators.MaxValueValidator(999),
                        ],
                        verbose_name="Second reading",
                    ),
                ),
                (
                    "third",
                    models.IntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(-999),
                            django.core.validators.MaxValueValidator(999),
                        ],
                        verbose_name="Third reading",
                    ),
                ),
                ("tested_at", models.DateTimeField()),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bench_tests",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "kit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bench_tests",
                        to="hunts.kit",
                    ),
                ),
            ],
            options={
                "ordering": ["-tested_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("heard", True),
                            models.Q(
                                ("first__isnull", True), ("second__isnull", True), ("third__isnull", True)
                            ),
                            _connector="OR",
                        ),
                        name="bench_unheard_has_no_reading",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "item__in",
                                [
                                    "thin silver",
                                    "small copper",
                                    "large copper",
                                    "lead shot",
                                    "gold ring",
                                    "nail",
                                    "foil",
                                    "can slug",
                                ],
                            )
                        ),
                        name="bench_item_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("orientation__in", ["face", "back", "edge"])),
                        name="bench_orientation_known",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="LoneHunt",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "where",
                    models.CharField(
                        max_length=200, verbose_name="Where you will be, and where you leave the car"
                    ),
                ),
                ("out_at", models.DateTimeField(verbose_name="Out from")),
                ("due_back", models.DateTimeField(verbose_name="Due back")),
                (
                    "tide",
                    models.CharField(
                        blank=True, max_length=80, verbose_name="Tide: times of high and low water"
                    ),
                ),
                ("contact_name", models.CharField(max_length=120, verbose_name="Who knows that you are out")),
                ("contact_phone", models.CharField(max_length=40, verbose_name="Their phone")),
                ("contact_email", models.EmailField(blank=True, max_length=254, verbose_name="Their e-mail")),
                (
                    "gate_asked",
                    models.CharField(
                        blank=True, max_length=300, verbose_name="Who said yes where the gate says to ask"
                    ),
                ),
                ("back_at", models.DateTimeField(blank=True, null=True)),
                (
                    "back_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="permissions.site",
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="lone_hunts",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-out_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("due_back__gt", models.F("out_at"))),
                        name="lone_hunt_due_after_out",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="LateNotice",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("minutes", models.PositiveIntegerField()),
                ("due_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField()),
                ("sent_to", models.PositiveIntegerField()),
                (
                    "hunt",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="late_notices",
                        to="hunts.hunt",
                    ),
                ),
                (
                    "lone",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="late_notices",
                        to="hunts.lonehunt",
                    ),
                ),
            ],
            options={
                "ordering": ["sent_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("hunt__isnull", True), ("lone__isnull", False)),
                            models.Q(("hunt__isnull", False), ("lone__isnull", True)),
                            _connector="OR",
                        ),
                        name="late_notice_about_one",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("hunt__isnull", False)),
                        fields=("hunt", "minutes", "due_at"),
                        name="late_notice_once_per_hunt",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("lone__isnull", False)),
                        fields=("lone", "minutes", "due_at"),
                        name="late_notice_once_per_lone_hunt",
                    ),
                ],
            },
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
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "db_table": "finds_photodraft",
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("made_by", "form_key", "slot", "sha256"), name="photo_draft_once"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="RiskAssessment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("review_on", models.DateField(verbose_name="Look at it again on")),
                ("made_at", models.DateTimeField()),
                (
                    "walked_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="Ground walked and assessment agreed"
                    ),
                ),
                (
                    "hunt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="risk_assessments",
                        to="hunts.hunt",
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="risk_assessments",
                        to="permissions.site",
                    ),
                ),
                (
                    "walked_by",
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
                "ordering": ["hunt", "site"],
                "constraints": [
                    models.UniqueConstraint(fields=("hunt", "site"), name="risk_once_per_hunt_and_site")
                ],
            },
        ),
        migrations.CreateModel(
            name="RiskLine",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("code", models.CharField(blank=True, max_length=16)),
                ("hazard", models.CharField(max_length=200, verbose_name="Hazard, and who may come to harm")),
                (
                    "likelihood",
                    models.PositiveIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(5),
                        ],
                        verbose_name="Likelihood (1 to 5)",
                    ),
                ),
                (
                    "severity",
                    models.PositiveIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(5),
                        ],
                        verbose_name="Severity (1 to 5)",
                    ),
                ),
                ("control", models.TextField(max_length=600, verbose_name="What is done about it")),
                ("owner", models.CharField(max_length=80, verbose_name="Who does it")),
                (
                    "residual_likelihood",
                    models.PositiveIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(5),
                        ],
                        verbose_name="Likelihood that is left",
                    ),
                ),
                (
                    "residual_severity",
                    models.PositiveIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(5),
                        ],
                        verbose_name="Severity that is left",
                    ),
                ),
                (
                    "assessment",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="lines",
                        to="hunts.riskassessment",
                    ),
                ),
            ],
            options={
                "ordering": ["assessment", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("likelihood__range", (1, 5)),
                            ("residual_likelihood__range", (1, 5)),
                            ("residual_severity__range", (1, 5)),
                            ("severity__range", (1, 5)),
                        ),
                        name="risk_scores_1_to_5",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("code", ""), _negated=True),
                        fields=("assessment", "code"),
                        name="risk_hazard_once",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="SetUp",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("set_at", models.DateTimeField(verbose_name="From when")),
                ("mode", models.CharField(max_length=60, verbose_name="Mode or programme")),
                ("sensitivity", models.CharField(blank=True, max_length=20, verbose_name="Sensitivity")),
                (
                    "recovery_speed",
                    models.CharField(blank=True, max_length=20, verbose_name="Recovery speed"),
                ),
                (
                    "discrimination",
                    models.CharField(
                        blank=True, max_length=60, verbose_name="Discrimination and iron reject"
                    ),
                ),
                ("threshold", models.CharField(blank=True, max_length=20, verbose_name="Threshold")),
                (
                    "battery_start",
                    models.PositiveIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(100)],
                        verbose_name="Battery at the start (%)",
                    ),
                ),
                (
                    "battery_end",
                    models.PositiveIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(100)],
                        verbose_name="Battery at the end (%)",
                    ),
                ),
                (
                    "hours",
                    models.FloatField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(24),
                        ],
                        verbose_name="Hours run",
                    ),
                ),
                ("notes", models.CharField(blank=True, max_length=300, verbose_name="Notes")),
                (
                    "hunt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="set_ups", to="hunts.hunt"
                    ),
                ),
                (
                    "kit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="set_ups", to="hunts.kit"
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="set_ups",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["set_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("battery_start__isnull", True), ("battery_start__lte", 100), _connector="OR"
                            ),
                            models.Q(
                                ("battery_end__isnull", True), ("battery_end__lte", 100), _connector="OR"
                            ),
                        ),
                        name="set_up_battery_is_percent",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("battery_start__isnull", True),
                            ("battery_end__isnull", True),
                            ("battery_end__lte", models.F("battery_start")),
                            _connector="OR",
                        ),
                        name="set_up_battery_falls",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="SignUp",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "state",
                    models.CharField(
                        choices=[("in", "in"), ("waiting", "waiting"), ("withdrawn", "withdrawn")],
                        max_length=10,
                    ),
                ),
                ("asked_at", models.DateTimeField()),
                ("promoted_at", models.DateTimeField(blank=True, null=True)),
                ("briefed_at", models.DateTimeField(blank=True, null=True)),
                (
                    "briefed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "hunt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="sign_ups", to="hunts.hunt"
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sign_ups",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["asked_at", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("hunt", "user"), name="sign_up_once"),
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["in", "waiting", "withdrawn"])),
                        name="sign_up_state_known",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Guest",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("name", models.CharField(max_length=120, verbose_name="Name")),
                ("is_junior", models.BooleanField(default=False, verbose_name="Under 18")),
                (
                    "age",
                    models.PositiveIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(120)],
                        verbose_name="Age",
                    ),
                ),
                ("insurer", models.CharField(max_length=120, verbose_name="Insurer or association")),
                ("insured_until", models.DateField(verbose_name="Last day of the insurance card")),
                (
                    "emergency_contact",
                    models.CharField(max_length=160, verbose_name="Emergency contact (name and phone)"),
                ),
                ("added_at", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                ("signed_in_at", models.DateTimeField(blank=True, null=True)),
                ("signed_out_at", models.DateTimeField(blank=True, null=True)),
                (
                    "signed_in_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "signed_out_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "hunt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="guests", to="hunts.hunt"
                    ),
                ),
                (
                    "host",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="guests", to="hunts.signup"
                    ),
                ),
                (
                    "responsible",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="juniors",
                        to="hunts.signup",
                    ),
                ),
            ],
            options={
                "ordering": ["name", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("is_junior", False),
                            models.Q(("age__isnull", False), ("age__lt", 18), ("responsible__isnull", False)),
                            _connector="OR",
                        ),
                        name="guest_junior_has_adult",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("signed_out_at__isnull", True),
                            models.Q(
                                ("signed_in_at__isnull", False),
                                ("signed_out_at__gte", models.F("signed_in_at")),
                            ),
                            _connector="OR",
                        ),
                        name="guest_out_after_in",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("withdrawn_at__isnull", True), ("signed_in_at__isnull", True), _connector="OR"
                        ),
                        name="guest_withdrawn_never_came",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Attendance",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("signed_in_at", models.DateTimeField()),
                ("signed_out_at", models.DateTimeField(blank=True, null=True)),
                ("vehicle", models.CharField(blank=True, max_length=20)),
                ("emergency_contact", models.CharField(blank=True, max_length=160)),
                (
                    "signed_in_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "signed_out_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "sign_up",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attendance",
                        to="hunts.signup",
                    ),
                ),
            ],
            options={
                "ordering": ["signed_in_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("signed_out_at__isnull", True),
                            ("signed_out_at__gte", models.F("signed_in_at")),
                            _connector="OR",
                        ),
                        name="attendance_out_after_in",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Track",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("sha256", models.CharField(max_length=64)),
                ("line", models.JSONField()),
                ("trace", models.BinaryField(default=bytes)),
                ("points", models.PositiveIntegerField()),
                ("length_m", models.FloatField()),
                ("seconds", models.FloatField(null=True)),
                ("swath_m", models.FloatField(default=1.5)),
                ("accuracy_m", models.FloatField(default=5.0)),
                ("outside_points", models.PositiveIntegerField(default=0)),
                ("no_go_points", models.PositiveIntegerField(default=0)),
                ("added_at", models.DateTimeField()),
                ("notes", models.JSONField(default=list)),
                (
                    "added_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "hunt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="tracks", to="hunts.hunt"
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="tracks",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["hunt", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("hunt", "sha256"), name="track_once_a_hunt"),
                    models.CheckConstraint(
                        condition=models.Q(("swath_m__gt", 0)), name="track_swath_positive"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("accuracy_m__gt", 0)), name="track_accuracy_positive"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="TrackCover",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("mask", models.BinaryField()),
                ("grid_lon", models.FloatField()),
                ("grid_lat", models.FloatField()),
                ("cell_m", models.FloatField()),
                ("version", models.PositiveSmallIntegerField()),
                ("length_m", models.FloatField()),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="permissions.site"
                    ),
                ),
                (
                    "track",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="covers", to="hunts.track"
                    ),
                ),
            ],
            options={
                "ordering": ["track", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("track", "site"), name="track_cover_once_a_site")
                ],
            },
        ),
        migrations.CreateModel(
            name="HolePhoto",
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
                    "stage",
                    models.CharField(
                        choices=[("before", "Before"), ("open", "Open"), ("after", "Filled")], max_length=6
                    ),
                ),
                (
                    "added_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "hole",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="photos", to="hunts.hole"
                    ),
                ),
            ],
            options={
                "ordering": ["hole", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("hole", "original_sha256", "stage"), name="hole_photo_once"
                    )
                ],
            },
        ),
        migrations.AddIndex(
            model_name="hole",
            index=models.Index(fields=["lat", "lon", "cell"], name="hole_lat_lon_cell"),
        ),
        migrations.AddConstraint(
            model_name="hole",
            constraint=models.UniqueConstraint(fields=("hunt", "number"), name="hole_number_once_per_hunt"),
        ),
        migrations.AddConstraint(
            model_name="hole",
            constraint=models.CheckConstraint(
                condition=models.Q(("state__in", ["dug", "filled", "checked"])), name="hole_state_known"
            ),
        ),
        migrations.AddConstraint(
            model_name="hole",
            constraint=models.CheckConstraint(
                condition=models.Q(("state", "dug"), ("filled_at__isnull", False), _connector="OR"),
                name="hole_filled_has_time",
            ),
        ),
        migrations.AddConstraint(
            model_name="hole",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("state", "checked"), _negated=True),
                    ("checked_at__isnull", False),
                    _connector="OR",
                ),
                name="hole_checked_has_time",
            ),
        ),
        migrations.AddConstraint(
            model_name="hole",
            constraint=models.CheckConstraint(
                condition=models.Q(("depth_cm__lte", 200)), name="hole_depth_plausible"
            ),
        ),
        migrations.AddConstraint(
            model_name="hunt",
            constraint=models.CheckConstraint(
                condition=models.Q(("state__in", ["planned", "open", "running", "closed", "called off"])),
                name="hunt_state_known",
            ),
        ),
        migrations.AddConstraint(
            model_name="hunt",
            constraint=models.CheckConstraint(
                condition=models.Q(("ends_at__gt", models.F("starts_at"))), name="hunt_ends_after_start"
            ),
        ),
        migrations.AddConstraint(
            model_name="hunt",
            constraint=models.CheckConstraint(
                condition=models.Q(("capacity__gte", 1)), name="hunt_has_places"
            ),
        ),
        migrations.AddConstraint(
            model_name="hunt",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("past_basis", ""), ("permission__isnull", False)),
                    models.Q(("past_basis", "recorded"), ("permission__isnull", False), ("state", "closed")),
                    models.Q(
                        ("past_basis__in", ["word", "paper", "unknown"]),
                        ("permission__isnull", True),
                        ("state", "closed"),
                        models.Q(("past_why", ""), _negated=True),
                    ),
                    _connector="OR",
                ),
                name="hunt_permitted_or_past",
            ),
        ),
        migrations.RunPython(guard.forwards, guard.backwards),
    ]
