"""Put the triggers on that keep data packages, sendings and acknowledgements append-only in the database itself."""

from django.db import migrations

from web.append_only import GuardAppendOnly

guard = GuardAppendOnly("reports_reportpackage", "reports_reportsending", "reports_acknowledgement")


class Migration(migrations.Migration):
    dependencies = [("reports", "0008_packages_sendings_and_officer_visits")]
    operations = [migrations.RunPython(guard.forwards, guard.backwards)]
