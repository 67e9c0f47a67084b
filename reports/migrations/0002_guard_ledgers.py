"""Put the triggers on that keep ledgers append-only in the database itself."""

from django.db import migrations

from web.append_only import GuardAppendOnly

guard = GuardAppendOnly("reports_issuedreport", "reports_landholderanswer")


class Migration(migrations.Migration):
    dependencies = [("reports", "0001_initial")]
    operations = [migrations.RunPython(guard.forwards, guard.backwards)]
