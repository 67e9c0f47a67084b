"""What a leader noticed of gates, stock and damage when a hunt closed, for the landholder to read."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("hunts", "0008_room_for_several_readings"),
    ]

    operations = [
        migrations.AddField(
            model_name="hunt",
            name="damage",
            field=models.TextField(blank=True, verbose_name="Damage"),
        ),
        migrations.AddField(
            model_name="hunt",
            name="noticed",
            field=models.TextField(blank=True, verbose_name="Gates, stock, fences and strangers"),
        ),
    ]
