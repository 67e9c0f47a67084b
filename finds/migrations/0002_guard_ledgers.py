"""Put the triggers on that keep ledgers append-only in the database itself."""

from django.db import migrations

from web.append_only import GuardAppendOnly

guard = GuardAppendOnly(
    "finds_screeningrecord", "finds_findspotview", "finds_caseevent", "finds_custodyentry"
)


class Migration(migrations.Migration):
    dependencies = [("finds", "0001_initial")]
    operations = [migrations.RunPython(guard.forwards, guard.backwards)]
