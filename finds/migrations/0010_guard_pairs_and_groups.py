"""Put the triggers on that keep what was said about pairs and groups append-only in the database itself."""

from django.db import migrations

from web.append_only import GuardAppendOnly

guard = GuardAppendOnly("finds_pairevent", "finds_groupevent")


class Migration(migrations.Migration):
    dependencies = [("finds", "0009_pairs_and_what_became_of_groups")]
    operations = [migrations.RunPython(guard.forwards, guard.backwards)]
