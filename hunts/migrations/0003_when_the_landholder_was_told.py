"""Notice is counted in hours, so the time of day belongs to it."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("hunts", "0002_who_closed_and_who_briefed"),
    ]

    operations = [
        migrations.RenameField(model_name="hunt", old_name="notice_given_on", new_name="told_at"),
        migrations.AlterField(
            model_name="hunt",
            name="told_at",
            field=models.DateTimeField(blank=True, null=True, verbose_name="Landholder told at"),
        ),
    ]
