"""All tables of this app as they were on 26 November 2026, in one step: a new database need not live through 0001 to 0005."""

import django.db.models.deletion
import django.db.models.functions.text
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

from web.append_only import GuardAppendOnly
from web.one_step import OneStep

guard = GuardAppendOnly(
    "people_auditentry",
)


class Migration(OneStep):
    replaces = [
        ("people", "0001_initial"),
        ("people", "0002_guard_ledgers"),
        ("people", "0003_daily_digest_wanted"),
        ("people", "0004_more_kinds_of_contact"),
        ("people", "0005_outbox"),
    ]

    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Contact",
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
                            ("finds officer", "Finds liaison or heritage officer"),
                            ("coroner", "Coroner"),
                            ("police", "Police"),
                            ("receiver", "Receiver of wreck"),
                            ("museum", "Museum"),
                            ("coastguard", "Coastguard"),
                            ("military", "Military casualty centre (aircraft)"),
                            ("land manager", "Public land manager, tribe or State archaeologist"),
                            ("other", "Other"),
                        ],
                        max_length=20,
                        verbose_name="Call them as",
                    ),
                ),
                (
                    "jurisdiction",
                    models.CharField(
                        default="england", max_length=30, verbose_name="For sites under the law of"
                    ),
                ),
                ("name", models.CharField(max_length=120, verbose_name="Name")),
                ("phone", models.CharField(blank=True, max_length=60, verbose_name="Phone")),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="E-mail")),
                ("hours", models.CharField(blank=True, max_length=120, verbose_name="When to call")),
            ],
            options={
                "ordering": ["kind", "name"],
            },
        ),
        migrations.CreateModel(
            name="User",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("password", models.CharField(max_length=128, verbose_name="password")),
                ("last_login", models.DateTimeField(blank=True, null=True, verbose_name="last login")),
                ("email", models.EmailField(max_length=254, unique=True, verbose_name="E-mail address")),
                ("name", models.CharField(max_length=120, verbose_name="Name")),
                ("phone", models.CharField(blank=True, max_length=40, verbose_name="Phone")),
                (
                    "emergency_contact",
                    models.CharField(
                        blank=True, max_length=160, verbose_name="Emergency contact (name and phone)"
                    ),
                ),
                ("vehicle", models.CharField(blank=True, max_length=20, verbose_name="Vehicle registration")),
                (
                    "wants_digest",
                    models.BooleanField(default=True, verbose_name="Send me each day's list of what is due"),
                ),
                ("is_active", models.BooleanField(default=True)),
                ("joined_at", models.DateTimeField(auto_now_add=True)),
            ],
            options={
                "ordering": ["name", "pk"],
                "constraints": [
                    models.UniqueConstraint(
                        django.db.models.functions.text.Lower("email"), name="user_email_ci_unique"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="AuditEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(db_index=True)),
                ("via", models.CharField(blank=True, max_length=80)),
                ("verb", models.CharField(max_length=60)),
                ("subject", models.CharField(db_index=True, max_length=80)),
                ("label", models.CharField(max_length=160)),
                ("changes", models.JSONField(default=dict)),
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
                "ordering": ["-at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Club",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120, verbose_name="Club name")),
                (
                    "jurisdiction",
                    models.CharField(default="england", max_length=30, verbose_name="Law that applies"),
                ),
                (
                    "units",
                    models.CharField(
                        choices=[("both", "Hectares and acres"), ("ha", "Hectares"), ("acres", "Acres")],
                        default="both",
                        max_length=5,
                        verbose_name="Units of area",
                    ),
                ),
                (
                    "date_format",
                    models.CharField(default="D j M Y", max_length=20, verbose_name="Date format"),
                ),
                ("currency", models.CharField(default="GBP", max_length=3, verbose_name="Currency")),
                (
                    "find_prefix",
                    models.CharField(default="F", max_length=6, verbose_name="Letters before a find number"),
                ),
                ("base_lon", models.FloatField(blank=True, null=True)),
                ("base_lat", models.FloatField(blank=True, null=True)),
                (
                    "background",
                    models.JSONField(
                        blank=True, default=dict, verbose_name="Club's own background map (GeoJSON)"
                    ),
                ),
                (
                    "emergency_department",
                    models.CharField(blank=True, max_length=200, verbose_name="Nearest emergency department"),
                ),
                ("address", models.TextField(blank=True, verbose_name="Address for reports")),
            ],
            options={
                "constraints": [models.CheckConstraint(condition=models.Q(("pk", 1)), name="club_only_one")],
            },
        ),
        migrations.CreateModel(
            name="Letter",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("kind", models.CharField(max_length=20)),
                ("to", models.CharField(max_length=254)),
                ("reply_to", models.CharField(blank=True, max_length=254)),
                ("subject", models.CharField(max_length=250)),
                ("text", models.TextField(blank=True)),
                ("html", models.TextField(blank=True)),
                ("message_id", models.CharField(max_length=200, unique=True)),
                ("dedupe_key", models.CharField(blank=True, max_length=120)),
                ("made_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("next_try_at", models.DateTimeField(default=django.utils.timezone.now)),
                ("expires_at", models.DateTimeField(blank=True, null=True)),
                ("tries", models.PositiveIntegerField(default=0)),
                ("claimed_at", models.DateTimeField(blank=True, null=True)),
                ("is_unsure", models.BooleanField(default=False)),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                ("gave_up_at", models.DateTimeField(blank=True, null=True)),
                ("is_out_of_date", models.BooleanField(default=False)),
                ("failed_at", models.DateTimeField(blank=True, null=True)),
                (
                    "trouble",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("", "none"),
                            ("server", "The mail server could not be reached or does not take letters"),
                            ("later", "The receiving side said: not now"),
                            ("never", "The receiving side refused it for good"),
                        ],
                        max_length=8,
                    ),
                ),
                ("last_error", models.CharField(blank=True, max_length=300)),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
            ],
            options={
                "ordering": ["pk"],
                "indexes": [
                    models.Index(
                        condition=models.Q(("gave_up_at__isnull", True), ("sent_at__isnull", True)),
                        fields=["next_try_at"],
                        name="letter_unsettled",
                    ),
                    models.Index(fields=["to"], name="letter_to"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("sent_at__isnull", True), ("gave_up_at__isnull", True), _connector="OR"
                        ),
                        name="letter_sent_or_given_up",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("sent_at__isnull", True), models.Q(("html", ""), ("text", "")), _connector="OR"
                        ),
                        name="letter_sent_keeps_no_words",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("expires_at__isnull", True),
                            ("expires_at__gte", models.F("made_at")),
                            _connector="OR",
                        ),
                        name="letter_expires_after_made",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("dedupe_key", ""), _negated=True),
                        fields=("dedupe_key",),
                        name="letter_once_for_its_key",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="MailStop",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("address_sha256", models.CharField(max_length=64)),
                ("kind", models.CharField(max_length=20)),
                ("at", models.DateTimeField()),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("address_sha256", "kind"), name="mail_stop_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="Insurance",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("starts", models.DateField(verbose_name="First day")),
                ("ends", models.DateField(verbose_name="Last day")),
                ("insurer", models.CharField(max_length=120, verbose_name="Insurer or association")),
                (
                    "policy_number",
                    models.CharField(blank=True, max_length=60, verbose_name="Card or policy number"),
                ),
                ("cover_pounds", models.PositiveBigIntegerField(default=10000000, verbose_name="Cover")),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="insurances",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-ends", "-pk"],
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("ends__gte", models.F("starts"))),
                        name="insurance_ends_after_start",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Membership",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("starts", models.DateField(verbose_name="First day")),
                ("ends", models.DateField(verbose_name="Last day")),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="memberships",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ["-ends", "-pk"],
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("ends__gte", models.F("starts"))),
                        name="membership_ends_after_start",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="RoleHeld",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("leader", "Leader"),
                            ("secretary", "Secretary"),
                            ("committee", "Committee"),
                        ],
                        max_length=12,
                    ),
                ),
                ("starts", models.DateField()),
                ("ends", models.DateField(blank=True, null=True)),
                (
                    "user",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="roles_held",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("role__in", ["leader", "secretary", "committee"])),
                        name="role_held_known",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("ends__isnull", True)),
                        fields=("user", "role"),
                        name="role_held_once",
                    ),
                ],
            },
        ),
        migrations.RunPython(guard.forwards, guard.backwards),
    ]
