"""All tables of this app as they were on 26 November 2026, in one step: a new database need not live through 0001 to 0009."""

import uuid
from decimal import Decimal

import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import permissions.states
from web.one_step import OneStep


class Migration(OneStep):
    replaces = [
        ("permissions", "0001_initial"),
        ("permissions", "0002_overlaps_and_terms"),
        ("permissions", "0003_evidence_by_own_name"),
        ("permissions", "0004_site_shore_and_church"),
        ("permissions", "0005_erased_landholders"),
        ("permissions", "0006_imports_protected_layers_successions"),
        ("permissions", "0007_organisers_part"),
        ("permissions", "0008_codes_for_private_pages"),
        ("permissions", "0009_who_holds_the_land"),
    ]

    initial = True

    dependencies = [
        ("people", "0001_squashed_0005_outbox"),
    ]

    operations = [
        migrations.CreateModel(
            name="Landholder",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("name", models.CharField(max_length=160, verbose_name="Name")),
                (
                    "contact_name",
                    models.CharField(blank=True, max_length=120, verbose_name="Whom to ask for"),
                ),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="E-mail")),
                ("phone", models.CharField(blank=True, max_length=60, verbose_name="Phone")),
                ("address", models.TextField(blank=True, verbose_name="Address")),
                ("notes", models.TextField(blank=True, verbose_name="Notes")),
                ("held_since", models.DateField(blank=True, null=True, verbose_name="Details held since")),
                (
                    "held_why",
                    models.CharField(
                        blank=True,
                        default="To keep and honour a permission to search",
                        max_length=200,
                        verbose_name="Why we hold them",
                    ),
                ),
                (
                    "asks_code",
                    models.BooleanField(
                        default=False,
                        help_text="Whoever is handed the address without the code sees nothing.",
                        verbose_name="The private page asks for a code sent by e-mail",
                    ),
                ),
                ("erased_on", models.DateField(blank=True, editable=False, null=True)),
            ],
            options={
                "ordering": ["name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="LandholderLink",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("made_at", models.DateTimeField()),
                ("expires_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("last_used_at", models.DateTimeField(blank=True, null=True)),
                (
                    "landholder",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="links",
                        to="permissions.landholder",
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
            ],
            options={
                "ordering": ["-made_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="LinkCode",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("digest", models.CharField(max_length=64)),
                ("address_sha256", models.CharField(max_length=64)),
                ("made_at", models.DateTimeField()),
                ("expires_at", models.DateTimeField()),
                ("wrong", models.PositiveSmallIntegerField(default=0)),
                ("used_at", models.DateTimeField(blank=True, null=True)),
                ("used_by", models.UUIDField(blank=True, null=True)),
                (
                    "link",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="codes",
                        to="permissions.landholderlink",
                    ),
                ),
            ],
            options={
                "ordering": ["-made_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="ProtectedLayer",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("name", models.CharField(max_length=120, verbose_name="Name of the layer")),
                ("kind", models.CharField(max_length=80, verbose_name="What its places are")),
                ("source", models.CharField(max_length=200, verbose_name="Source")),
                ("licence", models.CharField(max_length=160, verbose_name="Licence of the data")),
                ("data_on", models.DateField(verbose_name="The data are of")),
                (
                    "buffer_m",
                    models.FloatField(
                        default=20,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(5000),
                        ],
                        verbose_name="Margin around each place (m)",
                    ),
                ),
                ("is_check", models.BooleanField(default=False, verbose_name="Counts as the yearly check")),
                ("filename", models.CharField(blank=True, max_length=160)),
                ("imported_at", models.DateTimeField()),
                ("min_lat", models.FloatField()),
                ("min_lon", models.FloatField()),
                ("max_lat", models.FloatField()),
                ("max_lon", models.FloatField()),
                (
                    "imported_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="ImportDraft",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "purpose",
                    models.CharField(
                        choices=[("sites", "Boundaries of sites"), ("places", "A layer of protected places")],
                        max_length=6,
                    ),
                ),
                ("made_at", models.DateTimeField()),
                ("expires_at", models.DateTimeField()),
                ("filename", models.CharField(max_length=160)),
                ("raw", models.BinaryField(null=True)),
                ("question", models.TextField(blank=True)),
                ("choices", models.JSONField(default=list)),
                ("format", models.CharField(blank=True, max_length=40)),
                ("crs", models.CharField(blank=True, max_length=160)),
                ("notes", models.JSONField(default=list)),
                ("shapes", models.JSONField(default=list)),
                ("within", models.JSONField(null=True)),
                ("saved_at", models.DateTimeField(null=True)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "layer",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="permissions.protectedlayer",
                    ),
                ),
            ],
            options={
                "ordering": ["-made_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="ProtectedPlace",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("reference", models.CharField(blank=True, max_length=60)),
                ("geometry", models.JSONField()),
                ("min_lat", models.FloatField()),
                ("min_lon", models.FloatField()),
                ("max_lat", models.FloatField()),
                ("max_lon", models.FloatField()),
                (
                    "layer",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="places",
                        to="permissions.protectedlayer",
                    ),
                ),
            ],
            options={
                "ordering": ["name", "pk"],
                "indexes": [
                    models.Index(fields=["min_lat", "max_lat", "min_lon", "max_lon"], name="place_bounds")
                ],
            },
        ),
        migrations.CreateModel(
            name="Site",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("code", models.CharField(max_length=12, unique=True, verbose_name="Site code")),
                ("name", models.CharField(max_length=120, verbose_name="Field name")),
                ("holding", models.CharField(blank=True, max_length=120, verbose_name="Farm or estate")),
                ("parish", models.CharField(blank=True, max_length=120, verbose_name="Parish")),
                (
                    "jurisdiction",
                    models.CharField(default="england", max_length=30, verbose_name="Law that applies"),
                ),
                (
                    "tenure",
                    models.CharField(
                        choices=[
                            ("owner_occupied", "Farmed by the owner"),
                            ("let", "Let to a tenant"),
                            ("unknown", "Not known yet"),
                        ],
                        default="unknown",
                        max_length=14,
                        verbose_name="Who farms it",
                    ),
                ),
                ("land_use", models.CharField(blank=True, max_length=60, verbose_name="Usual land use")),
                (
                    "tidal",
                    models.CharField(
                        choices=[("yes", "Yes"), ("no", "No"), ("unknown", "Not known")],
                        default="unknown",
                        max_length=7,
                        verbose_name="Is it shore or tidal ground?",
                    ),
                ),
                (
                    "church_land",
                    models.CharField(
                        choices=[("yes", "Yes"), ("no", "No"), ("unknown", "Not known")],
                        default="unknown",
                        max_length=7,
                        verbose_name="Is it church land?",
                    ),
                ),
                (
                    "land_status",
                    models.CharField(
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
                ("boundary", models.JSONField(default=dict)),
                ("area_m2", models.FloatField(default=0)),
                ("min_lon", models.FloatField(null=True)),
                ("min_lat", models.FloatField(null=True)),
                ("max_lon", models.FloatField(null=True)),
                ("max_lat", models.FloatField(null=True)),
                ("gate_lon", models.FloatField(blank=True, null=True)),
                ("gate_lat", models.FloatField(blank=True, null=True)),
                ("access", models.TextField(blank=True, verbose_name="Way in, parking, gates")),
                (
                    "postcode",
                    models.CharField(blank=True, max_length=12, verbose_name="Postcode of the nearest road"),
                ),
                ("hazards", models.TextField(blank=True, verbose_name="Known hazards")),
                ("no_go_share", models.FloatField(default=0, editable=False)),
                ("retired_on", models.DateField(blank=True, null=True, verbose_name="No longer used from")),
            ],
            options={
                "ordering": ["code"],
                "indexes": [
                    models.Index(fields=["min_lat", "max_lat", "min_lon", "max_lon"], name="site_bounds")
                ],
            },
        ),
        migrations.CreateModel(
            name="ProtectedNear",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "relation",
                    models.CharField(
                        choices=[("touches", "On this site: shut"), ("in_buffer", "Close by: ask")],
                        max_length=9,
                    ),
                ),
                ("distance_m", models.FloatField()),
                (
                    "place",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="near",
                        to="permissions.protectedplace",
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="protected_near",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["distance_m", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("site", "place"), name="protected_near_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="ProtectedCheck",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("checked_on", models.DateField(verbose_name="Checked on")),
                (
                    "result",
                    models.CharField(
                        choices=[
                            ("clear", "Nothing near"),
                            ("buffer", "Close to one: keep clear, ask"),
                            ("touches", "On one: shut"),
                        ],
                        max_length=8,
                    ),
                ),
                ("place", models.CharField(blank=True, max_length=160, verbose_name="Protected place")),
                ("source", models.CharField(max_length=160, verbose_name="Map or register checked")),
                (
                    "checked_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="protected_checks",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["-checked_on", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Permission",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("weekdays", models.JSONField(blank=True, default=list, verbose_name="Days")),
                ("hours_from", models.TimeField(blank=True, null=True, verbose_name="Not before")),
                ("hours_to", models.TimeField(blank=True, null=True, verbose_name="Not after")),
                (
                    "max_heads",
                    models.PositiveIntegerField(blank=True, null=True, verbose_name="Most people at once"),
                ),
                (
                    "named_only",
                    models.BooleanField(default=False, verbose_name="Only people named in the agreement"),
                ),
                ("guests_allowed", models.BooleanField(default=False, verbose_name="Guests may come")),
                (
                    "juniors_allowed",
                    models.BooleanField(default=False, verbose_name="Under-18s may come with an adult"),
                ),
                (
                    "minimum_age",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="Youngest who may come (years)"
                    ),
                ),
                (
                    "notice_hours",
                    models.PositiveIntegerField(
                        blank=True, null=True, verbose_name="Notice before each visit (hours)"
                    ),
                ),
                ("notice_to", models.CharField(blank=True, max_length=160, verbose_name="Notice to")),
                (
                    "vehicles",
                    models.CharField(blank=True, max_length=200, verbose_name="Vehicles and parking"),
                ),
                (
                    "max_vehicles",
                    models.PositiveIntegerField(blank=True, null=True, verbose_name="Most vehicles"),
                ),
                ("dogs_allowed", models.BooleanField(default=False, verbose_name="Dogs may come")),
                (
                    "depth_limit_cm",
                    models.PositiveIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(200)],
                        verbose_name="Deepest hole (cm)",
                    ),
                ),
                (
                    "livestock_rule",
                    models.CharField(
                        choices=[
                            ("allowed", "searching is allowed"),
                            ("ask_first", "ask first"),
                            ("not_with", "no searching"),
                        ],
                        default="ask_first",
                        max_length=10,
                        verbose_name="With livestock in the field",
                    ),
                ),
                ("livestock", models.CharField(blank=True, max_length=200, verbose_name="About livestock")),
                (
                    "fee_per_head",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=8,
                        null=True,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="Fee for each person and visit",
                    ),
                ),
                (
                    "share_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("50"),
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="Landholder's share (%)",
                    ),
                ),
                (
                    "share_threshold",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("0"),
                        max_digits=10,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="Sharing starts at",
                    ),
                ),
                (
                    "share_wording",
                    models.CharField(
                        choices=[("over", "more than that value"), ("at_least", "that value or more")],
                        default="over",
                        max_length=8,
                        verbose_name="Threshold reads",
                    ),
                ),
                (
                    "share_rule",
                    models.CharField(
                        choices=[("whole", "the whole value"), ("excess", "only the part above")],
                        default="whole",
                        max_length=8,
                        verbose_name="What is shared",
                    ),
                ),
                (
                    "share_unit",
                    models.CharField(
                        choices=[("object", "object"), ("group", "same-find group"), ("hunt", "hunt")],
                        default="object",
                        max_length=8,
                        verbose_name="Counted per",
                    ),
                ),
                (
                    "organiser_percent",
                    models.DecimalField(
                        decimal_places=2,
                        default=Decimal("0"),
                        max_digits=5,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="Organiser's part, off the value first (%)",
                    ),
                ),
                (
                    "findspots_to_landholder",
                    models.BooleanField(default=True, verbose_name="Landholder sees exact findspots"),
                ),
                (
                    "photographs",
                    models.CharField(
                        choices=[
                            ("free", "may be published"),
                            ("no_places", "may be published without the place"),
                            ("ask_first", "only after asking"),
                            ("none", "may not be published"),
                        ],
                        default="no_places",
                        max_length=10,
                        verbose_name="Photographs",
                    ),
                ),
                ("publicity", models.CharField(blank=True, max_length=200, verbose_name="About publicity")),
                (
                    "insurance_floor",
                    models.PositiveBigIntegerField(blank=True, null=True, verbose_name="Insurance at least"),
                ),
                (
                    "ending_notice_days",
                    models.PositiveIntegerField(
                        blank=True, null=True, verbose_name="Notice to end it (days)"
                    ),
                ),
                ("other_terms", models.TextField(blank=True, verbose_name="Anything else agreed")),
                ("reference", models.CharField(max_length=20, unique=True, verbose_name="Reference")),
                ("title", models.CharField(max_length=160, verbose_name="Title")),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("draft", "draft"),
                            ("asked", "asked"),
                            ("granted", "granted"),
                            ("paused", "paused"),
                            ("ended", "ended"),
                            ("refused", "refused"),
                        ],
                        default=permissions.states.State["DRAFT"],
                        max_length=8,
                    ),
                ),
                ("starts", models.DateField(blank=True, null=True, verbose_name="First day")),
                ("ends", models.DateField(blank=True, null=True, verbose_name="Last day")),
                ("paused_why", models.CharField(blank=True, max_length=300)),
                ("notes", models.TextField(blank=True)),
                (
                    "named_people",
                    models.ManyToManyField(blank=True, related_name="+", to=settings.AUTH_USER_MODEL),
                ),
                ("sites", models.ManyToManyField(related_name="permissions", to="permissions.site")),
            ],
            options={
                "ordering": ["reference"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["draft", "asked", "granted", "paused", "ended", "refused"])
                        ),
                        name="permission_state_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("starts__isnull", True),
                            ("ends__isnull", True),
                            ("ends__gte", models.F("starts")),
                            _connector="OR",
                        ),
                        name="permission_ends_after_start",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("share_percent__lte", 100)), name="permission_share_to_100"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("organiser_percent__gte", 0), ("organiser_percent__lte", 100)),
                        name="permission_organiser_to_100",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="NoGoArea",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("reason", models.CharField(max_length=160, verbose_name="Reason")),
                ("geometry", models.JSONField()),
                (
                    "buffer_m",
                    models.FloatField(
                        default=0,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="Margin around it (m)",
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="no_go",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["site", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Licence",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("code", models.CharField(max_length=60, verbose_name="Which licence")),
                ("number", models.CharField(max_length=80, verbose_name="Number")),
                ("authority", models.CharField(max_length=160, verbose_name="Granted by")),
                ("starts", models.DateField(verbose_name="First day")),
                ("ends", models.DateField(verbose_name="Last day")),
                ("sites", models.ManyToManyField(related_name="licences", to="permissions.site")),
            ],
            options={
                "ordering": ["-ends", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("ends__gte", models.F("starts"))), name="licence_ends_after_start"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="FieldState",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("on", models.DateField(verbose_name="Seen or told on")),
                ("crop", models.CharField(blank=True, max_length=60, verbose_name="Crop")),
                ("stage", models.CharField(blank=True, max_length=60, verbose_name="Stage")),
                ("livestock", models.CharField(blank=True, max_length=60, verbose_name="Livestock")),
                (
                    "effect",
                    models.CharField(
                        choices=[("open", "Open"), ("ask", "Ask first"), ("shut", "Shut")],
                        max_length=4,
                        verbose_name="Open to search?",
                    ),
                ),
                (
                    "cultivated",
                    models.BooleanField(
                        default=False, verbose_name="Freshly cultivated (ploughed, drilled or rolled)"
                    ),
                ),
                ("said_by", models.CharField(max_length=120, verbose_name="Who said so")),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="field_states",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["-on", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Consent",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "capacity",
                    models.CharField(
                        choices=[
                            ("owner", "Owner"),
                            ("occupier", "Occupier (tenant)"),
                            ("agent", "Agent"),
                            ("sporting_tenant", "Sporting tenant"),
                            ("informed_only", "Informed only"),
                        ],
                        max_length=16,
                    ),
                ),
                ("given_on", models.DateField(blank=True, null=True, verbose_name="Given on")),
                ("starts", models.DateField(blank=True, null=True, verbose_name="From")),
                ("ends", models.DateField(blank=True, null=True, verbose_name="Until")),
                (
                    "evidence_kind",
                    models.CharField(
                        choices=[
                            ("signed", "Signed paper"),
                            ("email", "E-mail or letter"),
                            ("online", "Signed on line by link"),
                            ("verbal", "Spoken only"),
                        ],
                        default="verbal",
                        max_length=8,
                        verbose_name="Evidence",
                    ),
                ),
                ("evidence_file", models.FileField(blank=True, upload_to="", verbose_name="File")),
                ("evidence_name", models.CharField(blank=True, max_length=160)),
                ("withdrawn_on", models.DateField(blank=True, null=True)),
                ("notes", models.CharField(blank=True, max_length=300)),
                (
                    "landholder",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="consents",
                        to="permissions.landholder",
                    ),
                ),
                (
                    "permission",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="consents",
                        to="permissions.permission",
                    ),
                ),
                ("sites", models.ManyToManyField(blank=True, related_name="+", to="permissions.site")),
            ],
            options={
                "ordering": ["permission", "capacity", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("starts__isnull", True),
                            ("ends__isnull", True),
                            ("ends__gte", models.F("starts")),
                            _connector="OR",
                        ),
                        name="consent_ends_after_start",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ClosedPeriod",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("reason", models.CharField(max_length=160, verbose_name="Reason")),
                ("starts", models.DateField(verbose_name="First day")),
                ("ends", models.DateField(verbose_name="Last day")),
                ("yearly", models.BooleanField(default=False, verbose_name="Every year")),
                (
                    "effect",
                    models.CharField(
                        choices=[("ask", "Ask first"), ("shut", "Shut")], default="shut", max_length=4
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="closed_periods",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["starts", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("ends__gte", models.F("starts"))),
                        name="closed_period_ends_after_start",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Boundary",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("geometry", models.JSONField()),
                ("area_m2", models.FloatField()),
                ("drawn_at", models.DateTimeField()),
                ("source", models.CharField(default="drawn", max_length=60)),
                ("notes", models.JSONField(default=list)),
                (
                    "drawn_by",
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
                        related_name="boundaries",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["-drawn_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="SiteOverlap",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("shared_m2", models.FloatField()),
                (
                    "other",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="+", to="permissions.site"
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="overlaps",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["site", "-shared_m2", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("site", "other"), name="site_overlap_once"),
                    models.CheckConstraint(
                        condition=models.Q(("site", models.F("other")), _negated=True),
                        name="site_overlap_with_another",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="SiteParty",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "capacity",
                    models.CharField(
                        choices=[
                            ("owner", "Owner"),
                            ("occupier", "Occupier (tenant)"),
                            ("agent", "Agent"),
                            ("sporting_tenant", "Sporting tenant"),
                            ("informed_only", "Informed only"),
                        ],
                        max_length=16,
                    ),
                ),
                (
                    "authority",
                    models.CharField(
                        blank=True, max_length=160, verbose_name="How an agent's authority was shown"
                    ),
                ),
                ("since", models.DateField(blank=True, null=True, verbose_name="From")),
                ("until", models.DateField(blank=True, null=True, verbose_name="Until")),
                (
                    "acts_for",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="agents",
                        to="permissions.landholder",
                    ),
                ),
                (
                    "landholder",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="parties",
                        to="permissions.landholder",
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="parties",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["site", "capacity", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("since__isnull", True),
                            ("until__isnull", True),
                            ("until__gte", models.F("since")),
                            _connector="OR",
                        ),
                        name="site_party_until_after_since",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("acts_for__isnull", True), ("capacity", "agent"), _connector="OR"
                        ),
                        name="site_party_only_agents_act_for",
                    ),
                    models.UniqueConstraint(
                        fields=("site", "landholder", "capacity"), name="site_party_once"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Succession",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("how", models.CharField(choices=[("split", "split"), ("merge", "merged")], max_length=5)),
                ("on", models.DateField()),
                ("said", models.JSONField(default=list)),
                (
                    "after",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="forerunners",
                        to="permissions.site",
                    ),
                ),
                (
                    "before",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="successors",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["on", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("before", "after"), name="succession_once"),
                    models.CheckConstraint(
                        condition=models.Q(("before", models.F("after")), _negated=True),
                        name="succession_of_another",
                    ),
                ],
            },
        ),
    ]
