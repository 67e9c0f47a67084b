"""All tables of this app as they were on 26 November 2026, in one step: a new database need not live through 0001 to 0024."""

import uuid

import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import finds.models.erased
import finds.states
from web.append_only import GuardAppendOnly
from web.one_step import OneStep

guard = GuardAppendOnly(
    "finds_boxmove",
    "finds_boxreading",
    "finds_caseevent",
    "finds_casemessage",
    "finds_caseoutcome",
    "finds_casereport",
    "finds_casestage",
    "finds_casevote",
    "finds_custodyentry",
    "finds_findfate",
    "finds_findspotview",
    "finds_groupevent",
    "finds_handoversignature",
    "finds_pairevent",
    "finds_rescreenedfind",
    "finds_rewardshare",
    "finds_screeningrecord",
    "finds_sheetpayment",
    "finds_valuation",
)


class Migration(OneStep):
    replaces = [
        ("finds", "0001_initial"),
        ("finds", "0002_guard_ledgers"),
        ("finds", "0003_import_drafts_and_own_reference"),
        ("finds", "0004_place_of_finds_on_maps"),
        ("finds", "0005_squares_of_finds"),
        ("finds", "0006_a_square_with_every_place"),
        ("finds", "0007_drills_of_finds"),
        ("finds", "0008_weights_as_typed_and_photographs_that_wait"),
        ("finds", "0009_pairs_and_what_became_of_groups"),
        ("finds", "0010_guard_pairs_and_groups"),
        ("finds", "0011_the_record_in_full"),
        ("finds", "0012_which_packs_judged"),
        ("finds", "0013_wide_maps_of_finds"),
        ("finds", "0014_wide_cells_of_finds"),
        ("finds", "0015_all_of_a_place_or_none"),
        ("finds", "0016_settlement_sheets"),
        ("finds", "0017_guard_settlement"),
        ("finds", "0018_hand_overs_and_boxes"),
        ("finds", "0019_guard_hand_overs"),
        ("finds", "0020_answers_to_what_was_missing"),
        ("finds", "0021_cases_from_flag_to_home"),
        ("finds", "0022_guard_cases"),
        ("finds", "0023_photographs_wait_with_the_hunts"),
        ("finds", "0024_one_index_for_each_map"),
    ]

    initial = True

    dependencies = [
        ("hunts", "0001_squashed_0011_past_outings"),
        ("people", "0001_squashed_0005_outbox"),
        ("permissions", "0001_squashed_0009_who_holds_the_land"),
    ]

    operations = [
        migrations.CreateModel(
            name="Case",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.CharField(max_length=20, unique=True)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("flagged", "flagged"),
                            ("under review", "under review"),
                            ("no duty", "no duty"),
                            ("reported", "reported"),
                            ("acknowledged", "acknowledged"),
                            ("decided", "decided"),
                            ("closed", "closed"),
                        ],
                        default=finds.states.CaseState["FLAGGED"],
                        max_length=12,
                    ),
                ),
                ("opened_at", models.DateTimeField()),
                ("due_on", models.DateField(blank=True, null=True)),
                ("due_words", models.CharField(blank=True, max_length=200)),
                ("authority", models.CharField(blank=True, max_length=160)),
                (
                    "decision",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("returned", "Returned"),
                            ("acquired", "Acquired by a museum"),
                            ("disclaimed", "Disclaimed"),
                            ("other", "Other"),
                        ],
                        max_length=10,
                    ),
                ),
                ("reported_on", models.DateField(blank=True, null=True)),
                (
                    "report_reference",
                    models.CharField(blank=True, max_length=80, verbose_name="Their reference"),
                ),
                ("acknowledged_on", models.DateField(blank=True, null=True)),
                ("decided_on", models.DateField(blank=True, null=True)),
            ],
            options={
                "ordering": ["-opened_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Box",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("name", models.CharField(max_length=60, unique=True, verbose_name="Name on the lid")),
                ("kept_at", models.CharField(max_length=160, verbose_name="Where it stands")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("iron", "Iron, dry with silica gel"),
                            ("copper", "Copper alloy, dry with silica gel"),
                            ("dry", "Silver, gold and lead, dry and padded"),
                            ("damp", "Leather, wood and textile, kept damp"),
                            ("room", "Pottery, glass, bone and stone, room air"),
                        ],
                        max_length=6,
                        verbose_name="For",
                    ),
                ),
                ("has_gel", models.BooleanField(default=False, verbose_name="With silica gel")),
                ("made_at", models.DateTimeField()),
                ("retired_on", models.DateField(blank=True, null=True)),
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
                "ordering": ["name"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", ["iron", "copper", "dry", "damp", "room"])),
                        name="box_kind_known",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="BoxReading",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("on", models.DateField(verbose_name="Read on")),
                (
                    "humidity_percent",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                        verbose_name="Card says (% relative humidity)",
                    ),
                ),
                ("gel_changed", models.BooleanField(default=False, verbose_name="Gel dried or changed")),
                ("notes", models.CharField(blank=True, max_length=200, verbose_name="Notes")),
                ("at", models.DateTimeField()),
                (
                    "box",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="readings", to="finds.box"
                    ),
                ),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-on", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("humidity_percent__isnull", True),
                            ("humidity_percent__lte", 100),
                            _connector="OR",
                        ),
                        name="box_humidity_to_100",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("humidity_percent__isnull", False), ("gel_changed", True), _connector="OR"
                        ),
                        name="box_reading_says",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CaseEvent",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField()),
                ("verb", models.CharField(max_length=40)),
                ("words", models.TextField(blank=True)),
                ("to_state", models.CharField(blank=True, max_length=12)),
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
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="events", to="finds.case"
                    ),
                ),
            ],
            options={
                "ordering": ["at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="CaseMessage",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("at", models.DateTimeField()),
                ("words", models.TextField(verbose_name="Message")),
                ("asks", models.BooleanField(default=True, verbose_name="An answer is wanted")),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="messages", to="finds.case"
                    ),
                ),
                (
                    "finder",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="CaseOutcome",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "decision",
                    models.CharField(
                        choices=[
                            ("returned", "Returned"),
                            ("acquired", "Acquired by a museum"),
                            ("disclaimed", "Disclaimed"),
                            ("other", "Other"),
                        ],
                        max_length=10,
                        verbose_name="Outcome",
                    ),
                ),
                ("on", models.DateField(verbose_name="Decided on")),
                ("reference", models.CharField(blank=True, max_length=80, verbose_name="Their reference")),
                ("words", models.TextField(verbose_name="Their words")),
                (
                    "reward",
                    models.DecimalField(
                        blank=True, decimal_places=3, max_digits=12, null=True, verbose_name="Reward"
                    ),
                ),
                ("currency", models.CharField(blank=True, max_length=3)),
                ("at", models.DateTimeField()),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="outcomes", to="finds.case"
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("decision__in", ["returned", "acquired", "disclaimed", "other"])),
                        name="case_outcome_decision_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("reward__isnull", True),
                            models.Q(("decision", "acquired"), ("reward__gt", 0)),
                            _connector="OR",
                        ),
                        name="case_reward_if_acquired",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CaseReport",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("on", models.DateField(verbose_name="Reported on")),
                (
                    "how",
                    models.CharField(
                        choices=[
                            ("in person", "In person"),
                            ("telephone", "By telephone"),
                            ("e-mail", "By e-mail"),
                            ("form", "On a form of theirs"),
                            ("letter", "By letter"),
                            ("other", "Otherwise"),
                        ],
                        max_length=10,
                        verbose_name="How",
                    ),
                ),
                ("to", models.CharField(max_length=160, verbose_name="To whom")),
                ("reference", models.CharField(blank=True, max_length=80, verbose_name="Their reference")),
                ("words", models.TextField(blank=True, verbose_name="What was said")),
                ("file", models.FileField(blank=True, upload_to="", verbose_name="Copy")),
                ("file_name", models.CharField(blank=True, max_length=160)),
                ("at", models.DateTimeField()),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="tellings", to="finds.case"
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("how__in", ["in person", "telephone", "e-mail", "form", "letter", "other"])
                        ),
                        name="case_report_how_known",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="CaseStage",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("stage", models.CharField(max_length=40)),
                ("on", models.DateField(blank=True, null=True)),
                ("words", models.CharField(blank=True, max_length=300)),
                ("at", models.DateTimeField()),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="stages", to="finds.case"
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="CaseTask",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("what", models.CharField(max_length=200, verbose_name="What is to be done")),
                ("due_on", models.DateField(blank=True, null=True, verbose_name="By when")),
                ("made_at", models.DateTimeField()),
                ("done_at", models.DateTimeField(blank=True, null=True)),
                ("done_words", models.CharField(blank=True, max_length=200, verbose_name="What came of it")),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="tasks", to="finds.case"
                    ),
                ),
                (
                    "done_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
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
                    "whose",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="case_tasks",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="Who",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("done_at__isnull", True), ("done_by__isnull", True)),
                            models.Q(("done_at__isnull", False), ("done_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="case_task_done_by_somebody",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="CaseVote",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("at", models.DateTimeField()),
                (
                    "says",
                    models.CharField(
                        choices=[
                            ("proposes", "Proposed “no duty”"),
                            ("agrees", "Agreed: no duty"),
                            ("disagrees", "Did not agree"),
                            ("takes back", "Took the proposal back"),
                            ("lapsed", "The first signature lapsed"),
                        ],
                        max_length=10,
                    ),
                ),
                ("words", models.TextField(blank=True)),
                ("facts_digest", models.CharField(max_length=64)),
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
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="votes", to="finds.case"
                    ),
                ),
                (
                    "proposal",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="answers",
                        to="finds.casevote",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("proposal",), name="case_proposal_answered_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("proposal__isnull", True), ("says", "proposes")),
                            models.Q(
                                models.Q(("says", "proposes"), _negated=True), ("proposal__isnull", False)
                            ),
                            _connector="OR",
                        ),
                        name="case_vote_answers_a_proposal",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("by__isnull", False), ("says", "lapsed"), _connector="OR"),
                        name="case_vote_signed",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Find",
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
                ("number", models.CharField(max_length=20, unique=True, verbose_name="Find number")),
                ("found_at", models.DateTimeField(verbose_name="Found at")),
                (
                    "own_reference",
                    models.CharField(blank=True, max_length=60, verbose_name="Finder's own reference"),
                ),
                ("object_type", models.CharField(max_length=80, verbose_name="Object")),
                ("object_scheme", models.CharField(blank=True, max_length=120)),
                ("object_uri", models.CharField(blank=True, max_length=200)),
                ("description", models.TextField(blank=True, verbose_name="Description")),
                (
                    "inscription",
                    models.CharField(blank=True, max_length=300, verbose_name="Inscription or marks"),
                ),
                (
                    "is_coin",
                    models.CharField(
                        choices=[("yes", "Yes"), ("no", "No"), ("unknown", "Not known")],
                        default="unknown",
                        max_length=7,
                        verbose_name="Coin or token",
                    ),
                ),
                ("period", models.CharField(blank=True, max_length=60, verbose_name="Period")),
                ("period_scheme", models.CharField(blank=True, max_length=120)),
                ("period_uri", models.CharField(blank=True, max_length=200)),
                (
                    "edtf",
                    models.CharField(blank=True, max_length=60, verbose_name="Date in EDTF, if you know it"),
                ),
                (
                    "year_from",
                    models.IntegerField(
                        blank=True, null=True, verbose_name="Made between (year; BC as minus)"
                    ),
                ),
                ("year_to", models.IntegerField(blank=True, null=True, verbose_name="and")),
                (
                    "years_source",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("typed", "typed"),
                            ("period", "the whole of the period"),
                            ("edtf", "the date in EDTF"),
                        ],
                        max_length=6,
                    ),
                ),
                (
                    "certainty",
                    models.CharField(
                        choices=[
                            ("certain", "Certain"),
                            ("probable", "Probable"),
                            ("possible", "Possible"),
                            ("unknown", "Not known"),
                        ],
                        default="unknown",
                        max_length=8,
                        verbose_name="How sure",
                    ),
                ),
                ("identified_by", models.CharField(blank=True, max_length=120, verbose_name="Identified by")),
                ("identified_on", models.DateField(blank=True, null=True, verbose_name="Identified on")),
                (
                    "weight_g",
                    models.DecimalField(
                        blank=True, decimal_places=2, max_digits=9, null=True, verbose_name="Weight (g)"
                    ),
                ),
                ("weight_as_typed", models.CharField(blank=True, max_length=40)),
                (
                    "length_mm",
                    models.DecimalField(
                        blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="Length (mm)"
                    ),
                ),
                (
                    "width_mm",
                    models.DecimalField(
                        blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="Width (mm)"
                    ),
                ),
                (
                    "thickness_mm",
                    models.DecimalField(
                        blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="Thickness (mm)"
                    ),
                ),
                (
                    "diameter_mm",
                    models.DecimalField(
                        blank=True, decimal_places=1, max_digits=7, null=True, verbose_name="Diameter (mm)"
                    ),
                ),
                (
                    "count",
                    models.PositiveIntegerField(
                        default=1,
                        validators=[django.core.validators.MinValueValidator(1)],
                        verbose_name="How many",
                    ),
                ),
                (
                    "depth_cm",
                    models.PositiveIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(200)],
                        verbose_name="Depth (cm)",
                    ),
                ),
                ("context", models.CharField(blank=True, max_length=80, verbose_name="Context")),
                ("land_use", models.CharField(blank=True, max_length=60, verbose_name="Land use")),
                ("completeness", models.CharField(blank=True, max_length=40, verbose_name="Completeness")),
                ("condition", models.CharField(blank=True, max_length=80, verbose_name="Condition")),
                ("facts", models.JSONField(blank=True, default=dict)),
                (
                    "realised_on",
                    models.DateField(
                        blank=True,
                        null=True,
                        verbose_name="When was it realised that it might have to be reported?",
                    ),
                ),
                ("placing", models.CharField(blank=True, max_length=10)),
                ("placing_probability", models.FloatField(blank=True, null=True)),
                ("locked", models.BooleanField(default=False)),
                ("judged_by", models.CharField(blank=True, db_index=True, editable=False, max_length=64)),
                ("square_lon", models.FloatField(editable=False, null=True)),
                ("square_lat", models.FloatField(editable=False, null=True)),
                ("square_cell", models.BigIntegerField(editable=False, null=True)),
                ("wide_cell", models.IntegerField(editable=False, null=True)),
                ("square_wide_cell", models.IntegerField(editable=False, null=True)),
                ("recorded_at", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                (
                    "finder",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="finds",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "hole",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="finds",
                        to="hunts.hole",
                    ),
                ),
                (
                    "hunt",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="finds", to="hunts.hunt"
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="finds",
                        to="permissions.site",
                    ),
                ),
            ],
            options={
                "ordering": ["-found_at", "-pk"],
            },
        ),
        migrations.AddField(
            model_name="case",
            name="finds",
            field=models.ManyToManyField(related_name="cases", to="finds.find"),
        ),
        migrations.CreateModel(
            name="BoxMove",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("step", models.PositiveIntegerField()),
                ("at", models.DateTimeField()),
                (
                    "box",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="finds.box",
                    ),
                ),
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
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="box_moves", to="finds.find"
                    ),
                ),
            ],
            options={
                "ordering": ["find", "step"],
                "constraints": [models.UniqueConstraint(fields=("find", "step"), name="box_step_once")],
            },
        ),
        migrations.CreateModel(
            name="FindDrill",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
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
                    ),
                ),
                ("said", models.BooleanField(default=True)),
                ("opened_at", models.DateTimeField()),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="drills", to="finds.find"
                    ),
                ),
                (
                    "incident",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="find_drills",
                        to="hunts.incident",
                    ),
                ),
            ],
            options={
                "ordering": ["opened_at", "pk"],
                "constraints": [models.UniqueConstraint(fields=("find", "kind"), name="find_drill_once")],
            },
        ),
        migrations.CreateModel(
            name="FindFate",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "fate",
                    models.CharField(
                        choices=[
                            ("finder keeps", "The finder keeps it"),
                            ("landholder keeps", "The landholder keeps it"),
                            ("sold", "Sold"),
                            ("donated", "Given to a museum"),
                            ("reburied", "Reburied"),
                            ("scrapped", "Scrapped"),
                            ("with the authority", "With the authority"),
                        ],
                        max_length=18,
                        verbose_name="What becomes of it",
                    ),
                ),
                (
                    "price",
                    models.DecimalField(
                        blank=True,
                        decimal_places=3,
                        max_digits=12,
                        null=True,
                        verbose_name="Sold for, fees already off",
                    ),
                ),
                ("waived", models.BooleanField(default=False, verbose_name="Nobody asks anything for it")),
                ("on", models.DateField(verbose_name="Since")),
                ("words", models.CharField(blank=True, max_length=300, verbose_name="What was said")),
                ("at", models.DateTimeField()),
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
                        on_delete=django.db.models.deletion.PROTECT, related_name="fates", to="finds.find"
                    ),
                ),
                (
                    "keeper",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="permissions.landholder",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "fate__in",
                                [
                                    "finder keeps",
                                    "landholder keeps",
                                    "sold",
                                    "donated",
                                    "reburied",
                                    "scrapped",
                                    "with the authority",
                                ],
                            )
                        ),
                        name="find_fate_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("price__isnull", True),
                            models.Q(("fate", "sold"), ("price__gt", 0)),
                            _connector="OR",
                        ),
                        name="find_fate_price_if_sold",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="FindGroup",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("reasons", models.TextField(verbose_name="Why these belong together")),
                ("made_at", models.DateTimeField()),
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
                "abstract": False,
            },
        ),
        migrations.AddField(
            model_name="find",
            name="group",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="finds",
                to="finds.findgroup",
            ),
        ),
        migrations.CreateModel(
            name="FindImportDraft",
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
                ("filename", models.CharField(max_length=160)),
                ("raw", models.BinaryField(null=True)),
                ("encoding", models.CharField(blank=True, max_length=20)),
                ("day_order", models.CharField(blank=True, max_length=5)),
                ("saved_at", models.DateTimeField(null=True)),
                ("made", models.JSONField(default=list)),
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
                "ordering": ["-made_at", "-pk"],
            },
        ),
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
                (
                    "first",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="finds.find"
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
                    "second",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="finds.find"
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("first", "second"), name="find_link_once"),
                    models.CheckConstraint(
                        condition=models.Q(("first__lt", models.F("second"))), name="find_link_in_order"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="FindMaterial",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "material",
                    models.CharField(
                        choices=[
                            ("gold", "Gold"),
                            ("silver", "Silver"),
                            ("copper alloy", "Copper alloy"),
                            ("lead", "Lead or lead alloy"),
                            ("iron", "Iron"),
                            ("tin", "Tin or pewter"),
                            ("other metal", "Other metal"),
                            ("pottery", "Pottery"),
                            ("flint", "Flint or stone"),
                            ("glass", "Glass"),
                            ("bone", "Bone or antler"),
                            ("other", "Other"),
                        ],
                        max_length=12,
                    ),
                ),
                ("words", models.CharField(blank=True, max_length=60)),
                ("scheme", models.CharField(blank=True, max_length=120)),
                ("uri", models.CharField(blank=True, max_length=200)),
                (
                    "share_percent",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=5,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(0),
                            django.core.validators.MaxValueValidator(100),
                        ],
                    ),
                ),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="materials", to="finds.find"
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("find", "material", "words"), name="find_material_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("share_percent__isnull", True), ("share_percent__lte", 100), _connector="OR"
                        ),
                        name="find_material_share_to_100",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="FindNumber",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("year", models.PositiveIntegerField()),
                ("serial", models.PositiveIntegerField()),
                ("given_at", models.DateTimeField()),
                ("void_why", models.CharField(blank=True, max_length=200)),
                ("void_at", models.DateTimeField(blank=True, null=True)),
                (
                    "void_by",
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
                "ordering": ["year", "serial"],
                "constraints": [models.UniqueConstraint(fields=("year", "serial"), name="find_number_once")],
            },
        ),
        migrations.AddField(
            model_name="find",
            name="number_row",
            field=models.OneToOneField(
                on_delete=django.db.models.deletion.PROTECT, related_name="find", to="finds.findnumber"
            ),
        ),
        migrations.CreateModel(
            name="FindPhoto",
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
                    "view",
                    models.CharField(
                        choices=[
                            ("face", "Face or front"),
                            ("back", "Back"),
                            ("edge", "Edge"),
                            ("in situ", "In the ground"),
                        ],
                        default="face",
                        max_length=8,
                    ),
                ),
                ("has_scale", models.BooleanField(default=False, verbose_name="With a scale in the picture")),
                (
                    "added_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="photos", to="finds.find"
                    ),
                ),
            ],
            options={
                "ordering": ["find", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("find", "original_sha256"), name="find_photo_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="FindspotView",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField()),
                ("where", models.CharField(max_length=60)),
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
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="findspot_views",
                        to="finds.find",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
            },
        ),
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
            name="HandOver",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("number", models.CharField(max_length=20, unique=True)),
                ("year", models.PositiveIntegerField()),
                ("serial", models.PositiveIntegerField()),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("proposed", "proposed"),
                            ("accepted", "accepted"),
                            ("refused", "refused"),
                            ("cancelled", "cancelled"),
                        ],
                        default=finds.states.HandOverState["PROPOSED"],
                        max_length=9,
                    ),
                ),
                (
                    "from_holder",
                    models.CharField(
                        choices=[
                            ("finder", "Finder"),
                            ("club", "Club"),
                            ("landholder", "Landholder"),
                            ("officer", "Heritage officer"),
                            ("museum", "Museum"),
                            ("conservator", "Conservator"),
                            ("buyer", "Buyer"),
                            ("lost", "Lost"),
                            ("reburied", "Reburied"),
                        ],
                        max_length=11,
                    ),
                ),
                ("from_name", models.CharField(max_length=160)),
                (
                    "capacity",
                    models.CharField(
                        choices=[
                            ("owner", "As the owner"),
                            ("for owner", "For the owner, with their agreement"),
                            ("finder", "As the finder; who owns it is not settled"),
                            ("keeper", "As keeper only; it belongs to somebody else"),
                        ],
                        max_length=9,
                        verbose_name="Handed over",
                    ),
                ),
                (
                    "owner",
                    models.CharField(blank=True, max_length=160, verbose_name="Owner, as far as known"),
                ),
                (
                    "to_holder",
                    models.CharField(
                        choices=[
                            ("finder", "Finder"),
                            ("club", "Club"),
                            ("landholder", "Landholder"),
                            ("officer", "Heritage officer"),
                            ("museum", "Museum"),
                            ("conservator", "Conservator"),
                            ("buyer", "Buyer"),
                            ("lost", "Lost"),
                            ("reburied", "Reburied"),
                        ],
                        max_length=11,
                        verbose_name="Handed to",
                    ),
                ),
                ("to_name", models.CharField(max_length=160, verbose_name="Name of the receiver")),
                (
                    "to_details",
                    models.CharField(blank=True, max_length=200, verbose_name="How to reach them"),
                ),
                ("purpose", models.CharField(max_length=160, verbose_name="What for")),
                ("terms", models.TextField(blank=True, verbose_name="Terms agreed")),
                (
                    "location",
                    models.CharField(blank=True, max_length=160, verbose_name="Where it will be kept"),
                ),
                ("due_back", models.DateField(blank=True, null=True, verbose_name="Due back")),
                (
                    "uncollected",
                    models.CharField(blank=True, max_length=200, verbose_name="If it is not collected"),
                ),
                ("proposed_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                ("ended_why", models.CharField(blank=True, max_length=500)),
                ("evidence", models.CharField(blank=True, max_length=200)),
                (
                    "ended_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "proposed_by",
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
                "ordering": ["-proposed_at", "-pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("year", "serial"), name="hand_over_number_once"),
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["proposed", "accepted", "refused", "cancelled"])),
                        name="hand_over_state_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("ended_at__isnull", True), ("state", finds.states.HandOverState["PROPOSED"])
                            ),
                            models.Q(
                                models.Q(("state", finds.states.HandOverState["PROPOSED"]), _negated=True),
                                ("ended_at__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="hand_over_ended_with_time",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("to_holder__in", ["lost", "reburied"]), _negated=True),
                        name="hand_over_to_somebody",
                    ),
                ],
            },
            bases=(finds.models.erased.NamesShownMixin, models.Model),
        ),
        migrations.CreateModel(
            name="CustodyEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("step", models.PositiveIntegerField()),
                ("at", models.DateTimeField()),
                (
                    "from_holder",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("finder", "Finder"),
                            ("club", "Club"),
                            ("landholder", "Landholder"),
                            ("officer", "Heritage officer"),
                            ("museum", "Museum"),
                            ("conservator", "Conservator"),
                            ("buyer", "Buyer"),
                            ("lost", "Lost"),
                            ("reburied", "Reburied"),
                        ],
                        max_length=11,
                    ),
                ),
                ("from_name", models.CharField(blank=True, max_length=160)),
                (
                    "to_holder",
                    models.CharField(
                        choices=[
                            ("finder", "Finder"),
                            ("club", "Club"),
                            ("landholder", "Landholder"),
                            ("officer", "Heritage officer"),
                            ("museum", "Museum"),
                            ("conservator", "Conservator"),
                            ("buyer", "Buyer"),
                            ("lost", "Lost"),
                            ("reburied", "Reburied"),
                        ],
                        max_length=11,
                    ),
                ),
                ("to_name", models.CharField(max_length=160)),
                ("purpose", models.CharField(max_length=160)),
                ("due_back", models.DateField(blank=True, null=True)),
                ("condition", models.CharField(blank=True, max_length=200)),
                ("signature", models.JSONField(blank=True, default=dict)),
                ("words", models.TextField(blank=True)),
                ("happened_on", models.DateField(blank=True, null=True)),
                ("reported_to", models.CharField(blank=True, max_length=200)),
                ("evidence", models.CharField(blank=True, max_length=200)),
                (
                    "recorded_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="custody", to="finds.find"
                    ),
                ),
                (
                    "hand_over",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="entries",
                        to="finds.handover",
                    ),
                ),
            ],
            options={
                "ordering": ["find", "step"],
                "constraints": [
                    models.UniqueConstraint(fields=("find", "step"), name="custody_step_once"),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "to_holder__in",
                                [
                                    "finder",
                                    "club",
                                    "landholder",
                                    "officer",
                                    "museum",
                                    "conservator",
                                    "buyer",
                                    "lost",
                                    "reburied",
                                ],
                            )
                        ),
                        name="custody_holder_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("step__gte", 1)), name="custody_step_from_one"
                    ),
                ],
            },
            bases=(finds.models.erased.NamesShownMixin, models.Model),
        ),
        migrations.CreateModel(
            name="HandOverItem",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("after_step", models.PositiveIntegerField()),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "waiting"),
                            ("moved", "moved"),
                            ("missing", "missing"),
                            ("out", "out"),
                        ],
                        default=finds.states.ItemState["WAITING"],
                        max_length=9,
                    ),
                ),
                (
                    "condition_out",
                    models.CharField(blank=True, max_length=200, verbose_name="Condition when handed over"),
                ),
                (
                    "condition_in",
                    models.CharField(blank=True, max_length=200, verbose_name="Condition when received"),
                ),
                ("why", models.CharField(blank=True, max_length=300)),
                ("answer", models.CharField(blank=True, max_length=300, verbose_name="What was done")),
                ("answered_at", models.DateTimeField(blank=True, null=True)),
                (
                    "answered_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="hand_over_items",
                        to="finds.find",
                    ),
                ),
                (
                    "hand_over",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="items", to="finds.handover"
                    ),
                ),
            ],
            options={
                "ordering": ["hand_over", "find__number", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("hand_over", "find"), name="hand_over_item_once"),
                    models.UniqueConstraint(
                        condition=models.Q(("state", finds.states.ItemState["WAITING"])),
                        fields=("find",),
                        name="hand_over_waits_once",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["waiting", "moved", "missing", "out"])),
                        name="hand_over_item_state_known",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ConditionPhoto",
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
                        choices=[("out", "When handed over"), ("in", "When received")],
                        max_length=3,
                        verbose_name="Taken",
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
                    "item",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photos",
                        to="finds.handoveritem",
                    ),
                ),
            ],
            options={
                "ordering": ["item", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("item", "stage", "original_sha256"), name="condition_photo_once"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="HandOverLink",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "side",
                    models.CharField(
                        choices=[("giver", "Who hands over"), ("receiver", "Who receives")], max_length=8
                    ),
                ),
                ("made_at", models.DateTimeField()),
                ("expires_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("opened_at", models.DateTimeField(blank=True, null=True)),
                (
                    "hand_over",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="links", to="finds.handover"
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
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="HandOverSignature",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "side",
                    models.CharField(
                        choices=[("giver", "Who hands over"), ("receiver", "Who receives")], max_length=8
                    ),
                ),
                ("name", models.CharField(max_length=160)),
                ("statement", models.CharField(max_length=500)),
                ("text", models.TextField()),
                ("text_sha256", models.CharField(max_length=64)),
                ("drawn", models.JSONField(blank=True, default=list)),
                ("signed_at", models.DateTimeField()),
                (
                    "hand_over",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signatures",
                        to="finds.handover",
                    ),
                ),
                (
                    "signed_by",
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
                "ordering": ["signed_at", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("hand_over", "side"), name="hand_over_signature_once")
                ],
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
                "indexes": [models.Index(fields=["state", "-score", "id"], name="pair_worth_looking")],
                "constraints": [
                    models.UniqueConstraint(fields=("first", "second"), name="pair_once"),
                    models.CheckConstraint(
                        condition=models.Q(("first__lt", models.F("second"))), name="pair_in_order"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["open", "asked", "same", "apart", "gone"])),
                        name="pair_state_known",
                    ),
                ],
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
            name="RewardShare",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "party",
                    models.CharField(
                        choices=[
                            ("finder", "Finder"),
                            ("owner", "Landowner"),
                            ("occupier", "Occupier"),
                            ("other", "Somebody else"),
                        ],
                        max_length=8,
                        verbose_name="Who",
                    ),
                ),
                ("name", models.CharField(blank=True, max_length=120, verbose_name="Name")),
                ("percent", models.DecimalField(decimal_places=3, max_digits=6)),
                ("amount", models.DecimalField(decimal_places=3, max_digits=12)),
                (
                    "outcome",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="shares",
                        to="finds.caseoutcome",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("amount__gte", 0), ("percent__gt", 0), ("percent__lte", 100)),
                        name="reward_share_in_range",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ScreeningRecord",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField()),
                ("outcome", models.CharField(max_length=20)),
                ("weight", models.CharField(blank=True, max_length=10)),
                ("pack_code", models.CharField(max_length=30)),
                ("pack_version", models.CharField(max_length=30)),
                ("due_on", models.DateField(blank=True, null=True)),
                ("facts_digest", models.CharField(max_length=64)),
                ("result", models.JSONField()),
                ("facts", models.JSONField()),
                ("packs", models.JSONField(default=list)),
                ("judged_by", models.CharField(blank=True, db_index=True, max_length=64)),
                ("answered", models.JSONField(default=list)),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="screenings",
                        to="finds.find",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
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
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("run", "find"), name="rescreened_once_a_run")
                ],
            },
        ),
        migrations.CreateModel(
            name="Sheet",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("number", models.CharField(max_length=20, unique=True)),
                ("title", models.CharField(max_length=200)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("draft", "draft"),
                            ("sent", "sent"),
                            ("part", "part"),
                            ("settled", "settled"),
                            ("disputed", "disputed"),
                            ("replaced", "replaced"),
                        ],
                        default=finds.states.SheetState["DRAFT"],
                        max_length=10,
                    ),
                ),
                ("currency", models.CharField(max_length=3)),
                (
                    "way",
                    models.CharField(
                        choices=[("mean", "their mean"), ("median", "their median")],
                        default="mean",
                        max_length=6,
                        verbose_name="Several opinions become one by",
                    ),
                ),
                ("terms", models.JSONField(default=dict)),
                ("terms_on", models.DateField()),
                ("terms_note", models.CharField(blank=True, max_length=300)),
                ("figures", models.JSONField(blank=True, default=dict)),
                ("made_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                ("ended_why", models.CharField(blank=True, max_length=300)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "permission",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="settlements",
                        to="permissions.permission",
                    ),
                ),
                (
                    "replaces",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="replaced_by",
                        to="finds.sheet",
                    ),
                ),
            ],
            options={
                "ordering": ["-made_at", "-pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["draft", "sent", "part", "settled", "disputed", "replaced"])
                        ),
                        name="sheet_state_known",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="SheetPayment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("payer", models.CharField(max_length=40)),
                ("payee", models.CharField(max_length=40)),
                ("amount", models.DecimalField(decimal_places=3, max_digits=12)),
                ("on", models.DateField(verbose_name="Paid on")),
                ("how", models.CharField(max_length=120, verbose_name="How")),
                ("at", models.DateTimeField()),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "sheet",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="payments", to="finds.sheet"
                    ),
                ),
            ],
            options={
                "ordering": ["on", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("amount__gt", 0)), name="sheet_payment_positive"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="SheetRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("live", models.BooleanField(default=True)),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sheet_rows",
                        to="finds.find",
                    ),
                ),
                (
                    "sheet",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="rows", to="finds.sheet"
                    ),
                ),
            ],
            options={
                "ordering": ["find__number"],
                "constraints": [
                    models.UniqueConstraint(fields=("sheet", "find"), name="sheet_row_once"),
                    models.UniqueConstraint(
                        condition=models.Q(("live", True)), fields=("find",), name="find_on_one_live_sheet"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="SheetShare",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "percent",
                    models.DecimalField(
                        decimal_places=4,
                        max_digits=7,
                        validators=[django.core.validators.MinValueValidator(0)],
                    ),
                ),
                (
                    "landholder",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="permissions.landholder",
                    ),
                ),
                (
                    "sheet",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="shares", to="finds.sheet"
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("sheet", "landholder"), name="sheet_share_once"),
                    models.CheckConstraint(
                        condition=models.Q(("percent__gte", 0), ("percent__lte", 100)),
                        name="sheet_share_to_100",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Valuation",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("on", models.DateField(verbose_name="Valued on")),
                ("valuer", models.CharField(max_length=120, verbose_name="Who valued it")),
                ("method", models.CharField(max_length=200, verbose_name="How")),
                ("currency", models.CharField(max_length=3)),
                (
                    "low",
                    models.DecimalField(
                        decimal_places=3,
                        max_digits=12,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="From",
                    ),
                ),
                (
                    "high",
                    models.DecimalField(
                        decimal_places=3,
                        max_digits=12,
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="To",
                    ),
                ),
                ("why", models.CharField(blank=True, max_length=200, verbose_name="Why it is corrected")),
                ("at", models.DateTimeField()),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "corrects",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="corrected_by",
                        to="finds.valuation",
                    ),
                ),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="valuations",
                        to="finds.find",
                    ),
                ),
            ],
            options={
                "ordering": ["on", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("high__gte", models.F("low")), ("low__gt", 0)),
                        name="valuation_low_to_high",
                    )
                ],
            },
        ),
        migrations.AddConstraint(
            model_name="case",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "state__in",
                        [
                            "flagged",
                            "under review",
                            "no duty",
                            "reported",
                            "acknowledged",
                            "decided",
                            "closed",
                        ],
                    )
                ),
                name="case_state_known",
            ),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(fields=["lat", "lon", "cell"], name="find_lat_lon_cell"),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(
                condition=models.Q(("locked", False), ("withdrawn_at__isnull", True)),
                fields=["wide_cell", "lon", "lat", "cell", "locked", "withdrawn_at"],
                name="find_on_map",
            ),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(
                condition=models.Q(("locked", False), ("withdrawn_at__isnull", True)),
                fields=[
                    "square_wide_cell",
                    "square_lon",
                    "square_lat",
                    "square_cell",
                    "locked",
                    "withdrawn_at",
                ],
                name="find_on_members_map",
            ),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(condition=models.Q(("locked", True)), fields=["hunt"], name="find_locked"),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(fields=["-found_at", "-id"], name="find_latest"),
        ),
        migrations.AddConstraint(
            model_name="find",
            constraint=models.CheckConstraint(
                condition=models.Q(("count__gte", 1)), name="find_count_at_least_one"
            ),
        ),
        migrations.AddConstraint(
            model_name="find",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("year_from__isnull", True),
                    ("year_to__isnull", True),
                    ("year_to__gte", models.F("year_from")),
                    _connector="OR",
                ),
                name="find_years_in_order",
            ),
        ),
        migrations.AddConstraint(
            model_name="find",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("year_from", 0), _negated=True), models.Q(("year_to", 0), _negated=True)
                ),
                name="find_no_year_zero",
            ),
        ),
        migrations.AddConstraint(
            model_name="find",
            constraint=models.CheckConstraint(
                condition=models.Q(("weight_g__isnull", True), ("weight_g__gt", 0), _connector="OR"),
                name="find_weight_positive",
            ),
        ),
        migrations.AddConstraint(
            model_name="find",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("cell__isnull", True),
                        ("lat__isnull", True),
                        ("square_cell__isnull", True),
                        ("square_lat__isnull", True),
                        ("square_wide_cell__isnull", True),
                        ("wide_cell__isnull", True),
                    ),
                    models.Q(
                        ("cell__isnull", False),
                        ("lat__isnull", False),
                        ("square_cell__isnull", False),
                        ("square_lat__isnull", False),
                        ("square_wide_cell__isnull", False),
                        ("wide_cell__isnull", False),
                    ),
                    _connector="OR",
                ),
                name="find_square_with_place",
            ),
        ),
        migrations.RunPython(guard.forwards, guard.backwards),
    ]
