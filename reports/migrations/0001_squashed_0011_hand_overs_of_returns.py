"""All tables of this app as they were on 26 November 2026, in one step: a new database need not live through 0001 to 0011."""

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import reports.states
from web.append_only import GuardAppendOnly
from web.one_step import OneStep

guard = GuardAppendOnly(
    "reports_acknowledgement",
    "reports_agreementissue",
    "reports_issuedreport",
    "reports_landholderanswer",
    "reports_paper",
    "reports_papersignature",
    "reports_reportpackage",
    "reports_reportsending",
    "reports_signature",
)


class Migration(OneStep):
    replaces = [
        ("reports", "0001_initial"),
        ("reports", "0002_guard_ledgers"),
        ("reports", "0003_agreements_and_reminders"),
        ("reports", "0004_guard_agreements"),
        ("reports", "0005_papers_to_sign"),
        ("reports", "0006_guard_papers"),
        ("reports", "0007_reports_on_a_year"),
        ("reports", "0008_packages_sendings_and_officer_visits"),
        ("reports", "0009_guard_packages_and_sendings"),
        ("reports", "0010_questions_and_invitations"),
        ("reports", "0011_hand_overs_of_returns"),
    ]

    initial = True

    dependencies = [
        ("finds", "0001_squashed_0024_one_index_for_each_map"),
        ("hunts", "0001_squashed_0011_past_outings"),
        ("people", "0001_squashed_0005_outbox"),
        ("permissions", "0001_squashed_0009_who_holds_the_land"),
    ]

    operations = [
        migrations.CreateModel(
            name="AgreementIssue",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.CharField(max_length=40, unique=True)),
                ("issue", models.PositiveIntegerField()),
                ("content", models.JSONField()),
                ("content_sha256", models.CharField(max_length=64)),
                ("pdf", models.FileField(upload_to="agreements/")),
                ("pdf_sha256", models.CharField(max_length=64)),
                ("issued_at", models.DateTimeField()),
                (
                    "issued_by",
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
                        related_name="agreements",
                        to="permissions.permission",
                    ),
                ),
            ],
            options={
                "ordering": ["-issue", "-pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("permission", "issue"), name="agreement_issue_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="IssuedReport",
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
                            ("visit", "Visit report"),
                            ("holes", "Filled-holes report"),
                            ("returns", "Returns statement"),
                            ("heritage", "Heritage report"),
                            ("year", "Report on a year"),
                        ],
                        max_length=8,
                    ),
                ),
                ("number", models.CharField(max_length=40, unique=True)),
                ("issue", models.PositiveIntegerField(default=1)),
                ("year", models.PositiveIntegerField(blank=True, null=True)),
                ("content", models.JSONField()),
                ("content_sha256", models.CharField(max_length=64)),
                ("pdf", models.FileField(upload_to="reports/")),
                ("pdf_sha256", models.CharField(max_length=64)),
                ("issued_at", models.DateTimeField()),
                ("recipient", models.CharField(max_length=160)),
                (
                    "case",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reports",
                        to="finds.case",
                    ),
                ),
                (
                    "hunt",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reports",
                        to="hunts.hunt",
                    ),
                ),
                (
                    "issued_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "landholder",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reports",
                        to="permissions.landholder",
                    ),
                ),
            ],
            options={
                "ordering": ["-issued_at", "-pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("hunt__isnull", False)),
                        fields=("kind", "hunt", "landholder", "issue"),
                        name="report_issue_once_hunt",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("case__isnull", False)),
                        fields=("kind", "case", "issue"),
                        name="report_issue_once_case",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("landholder__isnull", True), ("year__isnull", False)),
                        fields=("year", "issue"),
                        name="report_issue_once_year",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("landholder__isnull", False), ("year__isnull", False)),
                        fields=("year", "landholder", "issue"),
                        name="report_issue_once_year_landholder",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="LandholderAnswer",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "what",
                    models.CharField(
                        choices=[
                            ("confirmed", "Confirmed what was returned"),
                            ("disputed", "Something is missing or not right"),
                            ("concern", "Raised a concern"),
                            ("question", "Asked a question"),
                            ("invited", "Asked the club to come again"),
                            ("paused", "Paused the permission"),
                            ("withdrew", "Withdrew consent"),
                        ],
                        max_length=9,
                    ),
                ),
                ("words", models.TextField(blank=True)),
                ("signed_name", models.CharField(blank=True, max_length=160)),
                ("at", models.DateTimeField()),
                (
                    "landholder",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="answers",
                        to="permissions.landholder",
                    ),
                ),
                (
                    "link",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="answers",
                        to="permissions.landholderlink",
                    ),
                ),
                (
                    "permission",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="answers",
                        to="permissions.permission",
                    ),
                ),
                (
                    "report",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="answers",
                        to="reports.issuedreport",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Concern",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("settled_at", models.DateTimeField()),
                ("words", models.TextField(verbose_name="What was done")),
                (
                    "settled_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "answer",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="settled",
                        to="reports.landholderanswer",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="OfficerVisit",
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
                        choices=[("planned", "planned"), ("done", "done"), ("called off", "called off")],
                        default=reports.states.OfficerVisitState["PLANNED"],
                        max_length=10,
                    ),
                ),
                ("on", models.DateField(verbose_name="Day of the visit")),
                ("place", models.CharField(blank=True, max_length=160, verbose_name="Where")),
                (
                    "to_holder",
                    models.CharField(
                        choices=[
                            ("officer", "Heritage officer"),
                            ("museum", "Museum"),
                            ("conservator", "Conservator"),
                        ],
                        default="officer",
                        max_length=11,
                        verbose_name="Handed to",
                    ),
                ),
                ("to_name", models.CharField(max_length=160, verbose_name="Their name")),
                (
                    "to_details",
                    models.CharField(blank=True, max_length=200, verbose_name="How to reach them"),
                ),
                ("purpose", models.CharField(max_length=160, verbose_name="What for")),
                ("due_back", models.DateField(blank=True, null=True, verbose_name="Due back")),
                ("taken_by", models.CharField(max_length=160, verbose_name="Who takes them")),
                ("planned_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField(blank=True, null=True)),
                (
                    "evidence",
                    models.CharField(
                        blank=True, max_length=200, verbose_name="What shows that they were received"
                    ),
                ),
                ("why", models.CharField(blank=True, max_length=300, verbose_name="Why it was called off")),
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
                    "planned_by",
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
                    models.UniqueConstraint(fields=("year", "serial"), name="officer_visit_number_once"),
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["planned", "done", "called off"])),
                        name="officer_visit_state_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("ended_at__isnull", True),
                                ("state", reports.states.OfficerVisitState["PLANNED"]),
                            ),
                            models.Q(
                                models.Q(
                                    ("state", reports.states.OfficerVisitState["PLANNED"]), _negated=True
                                ),
                                ("ended_at__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="officer_visit_ended_with_time",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="OfficerVisitItem",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("condition", models.CharField(blank=True, max_length=200, verbose_name="Condition")),
                (
                    "why",
                    models.CharField(blank=True, max_length=200, verbose_name="Why it was not handed over"),
                ),
                (
                    "find",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="officer_visits",
                        to="finds.find",
                    ),
                ),
                (
                    "hand_over",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="officer_visit_items",
                        to="finds.handover",
                    ),
                ),
                (
                    "visit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="items",
                        to="reports.officervisit",
                    ),
                ),
            ],
            options={
                "ordering": ["visit", "find__number", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("visit", "find"), name="officer_visit_item_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="Paper",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("settlement", "Settlement sheet"),
                            ("transfer", "Transfer of title"),
                            ("disclaimer", "Disclaimer"),
                        ],
                        max_length=10,
                    ),
                ),
                ("number", models.CharField(max_length=60, unique=True)),
                ("party", models.CharField(blank=True, max_length=40)),
                ("given", models.JSONField(blank=True, default=dict)),
                ("content", models.JSONField()),
                ("content_sha256", models.CharField(max_length=64)),
                ("pdf", models.FileField(upload_to="papers/")),
                ("pdf_sha256", models.CharField(max_length=64)),
                ("issued_at", models.DateTimeField()),
                (
                    "find",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="papers",
                        to="finds.find",
                    ),
                ),
                (
                    "issued_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "sheet",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="papers",
                        to="finds.sheet",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("kind__in", ["settlement", "transfer", "disclaimer"])),
                        name="paper_kind_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("find__isnull", True), ("kind", "settlement"), ("sheet__isnull", False)
                            ),
                            models.Q(
                                ("find__isnull", False),
                                ("kind__in", ["transfer", "disclaimer"]),
                                ("sheet__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="paper_about_one_thing",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("sheet__isnull", False)),
                        fields=("sheet", "party"),
                        name="paper_once_a_party",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PaperSigner",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("role", models.CharField(max_length=60)),
                ("name", models.CharField(max_length=160)),
                ("expires_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                ("opened_at", models.DateTimeField(blank=True, null=True)),
                ("disputed_at", models.DateTimeField(blank=True, null=True)),
                ("disputed_why", models.CharField(blank=True, max_length=500)),
                (
                    "landholder",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="papers",
                        to="permissions.landholder",
                    ),
                ),
                (
                    "paper",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signers",
                        to="reports.paper",
                    ),
                ),
                (
                    "user",
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
                "ordering": ["paper", "pk"],
                "constraints": [models.UniqueConstraint(fields=("paper", "role"), name="paper_signer_once")],
            },
        ),
        migrations.CreateModel(
            name="PaperSignature",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("name", models.CharField(max_length=160)),
                ("statement", models.CharField(max_length=500)),
                ("text", models.TextField()),
                ("text_sha256", models.CharField(max_length=64)),
                ("drawn", models.JSONField(blank=True, default=list)),
                ("via", models.CharField(max_length=60)),
                ("signed_at", models.DateTimeField()),
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
                    "signer",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signature",
                        to="reports.papersigner",
                    ),
                ),
            ],
            options={
                "ordering": ["signed_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Reminder",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("on", models.DateField()),
                ("claimed_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                ("failed_at", models.DateTimeField(blank=True, null=True)),
                ("items", models.PositiveIntegerField(default=0)),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-on", "user"],
                "constraints": [models.UniqueConstraint(fields=("user", "on"), name="reminder_once_a_day")],
            },
        ),
        migrations.CreateModel(
            name="ReportPackage",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("file", models.FileField(upload_to="packages/")),
                ("sha256", models.CharField(max_length=64)),
                ("size", models.PositiveBigIntegerField()),
                (
                    "report",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="package",
                        to="reports.issuedreport",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="ReportSending",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("sent_at", models.DateTimeField(verbose_name="When it was sent")),
                ("to_name", models.CharField(max_length=160, verbose_name="To whom")),
                (
                    "to_details",
                    models.CharField(
                        blank=True, max_length=200, verbose_name="Their address, number or portal"
                    ),
                ),
                (
                    "how",
                    models.CharField(
                        choices=[
                            ("hand", "In person, by hand"),
                            ("portal", "Through their secure portal or file transfer"),
                            ("e-mail", "By a person's own e-mail, as they asked"),
                            ("post", "By post"),
                            ("other", "Otherwise"),
                        ],
                        max_length=8,
                        verbose_name="How",
                    ),
                ),
                (
                    "what",
                    models.CharField(
                        choices=[
                            ("both", "The report and the data package"),
                            ("pdf", "The report only"),
                            ("package", "The data package only"),
                        ],
                        default="both",
                        max_length=8,
                        verbose_name="What was sent",
                    ),
                ),
                ("pdf_sha256", models.CharField(blank=True, max_length=64)),
                ("package_sha256", models.CharField(blank=True, max_length=64)),
                ("words", models.TextField(blank=True, verbose_name="Remarks")),
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
                    "report",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sendings",
                        to="reports.issuedreport",
                    ),
                ),
            ],
            options={
                "ordering": ["sent_at", "pk"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("how__in", ["hand", "portal", "e-mail", "post", "other"])),
                        name="sending_how_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("pdf_sha256", ""), ("what", "package")),
                            models.Q(("package_sha256", ""), ("what", "pdf")),
                            ("what", "both"),
                            _connector="OR",
                        ),
                        name="sending_hash_of_what_was_sent",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("pdf_sha256", ""), _negated=True),
                            models.Q(("package_sha256", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="sending_of_something",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Acknowledgement",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("on", models.DateField(verbose_name="Acknowledged on")),
                ("who", models.CharField(max_length=160, verbose_name="By whom")),
                ("reference", models.CharField(blank=True, max_length=80, verbose_name="Their reference")),
                ("words", models.TextField(blank=True, verbose_name="What they said")),
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
                    "sending",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="acknowledgement",
                        to="reports.reportsending",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="ReturnsHandOver",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "hand_over",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="statement",
                        to="finds.handover",
                    ),
                ),
                (
                    "report",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="going_back",
                        to="reports.issuedreport",
                    ),
                ),
            ],
            options={
                "ordering": ["report", "pk"],
            },
        ),
        migrations.CreateModel(
            name="SignatureRequest",
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
                ("acts_for", models.CharField(blank=True, max_length=300, verbose_name="Acts for")),
                ("made_at", models.DateTimeField()),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                ("expires_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                ("opened_at", models.DateTimeField(blank=True, null=True)),
                ("declined_at", models.DateTimeField(blank=True, null=True)),
                ("declined_why", models.CharField(blank=True, max_length=500)),
                (
                    "issue",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="requests",
                        to="reports.agreementissue",
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
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                ("sites", models.ManyToManyField(related_name="+", to="permissions.site")),
            ],
            options={
                "ordering": ["issue", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("revoked_at__isnull", True)),
                        fields=("issue", "landholder", "capacity"),
                        name="signature_request_once",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Signature",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("name", models.CharField(max_length=160)),
                ("statement", models.CharField(max_length=500)),
                ("text", models.TextField()),
                ("text_sha256", models.CharField(max_length=64)),
                ("drawn", models.JSONField(blank=True, default=list)),
                ("signed_at", models.DateTimeField()),
                (
                    "consent",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signature",
                        to="permissions.consent",
                    ),
                ),
                (
                    "request",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signature",
                        to="reports.signaturerequest",
                    ),
                ),
            ],
            options={
                "ordering": ["signed_at", "pk"],
            },
        ),
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
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "landholder",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="thanks",
                        to="permissions.landholder",
                    ),
                ),
            ],
            options={
                "ordering": ["-year", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("landholder", "year"), name="thanked_once_a_year")
                ],
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
                (
                    "changed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "hunt",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="visit_draft",
                        to="hunts.hunt",
                    ),
                ),
            ],
            options={
                "ordering": ["hunt"],
            },
        ),
        migrations.RunPython(guard.forwards, guard.backwards),
    ]
