"""Past outings, entered later from older records: only these may be without a recorded permission."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("hunts", "0010_photographs_that_wait"),
        ("permissions", "0008_codes_for_private_pages"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name="hunt",
            name="past_basis",
            field=models.CharField(
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
        migrations.AddField(
            model_name="hunt",
            name="past_why",
            field=models.CharField(
                blank=True, default="", max_length=300, verbose_name="What is known of it"
            ),
        ),
        migrations.AlterField(
            model_name="hunt",
            name="permission",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="hunts",
                to="permissions.permission",
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
    ]
