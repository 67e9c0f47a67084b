"""Guard the new ledgers, and custody again: SQLite rebuilt its table for the new columns and dropped its triggers."""

from django.db import migrations

from web.append_only import GuardAppendOnly

old = GuardAppendOnly("finds_custodyentry")
new = GuardAppendOnly("finds_handoversignature", "finds_boxreading", "finds_boxmove")


def guard(apps, editor):
    old.backwards(apps, editor)  # PostgreSQL kept its trigger and would refuse a second one of its name
    old.forwards(apps, editor)
    new.forwards(apps, editor)


class Migration(migrations.Migration):
    dependencies = [("finds", "0018_hand_overs_and_boxes")]
    operations = [migrations.RunPython(guard, new.backwards)]
