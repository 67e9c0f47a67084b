"""Put the triggers on that keep issued agreements and signatures append-only in the database itself."""

from django.db import migrations

from web.append_only import GuardAppendOnly

guard = GuardAppendOnly("reports_agreementissue", "reports_signature")


class Migration(migrations.Migration):
    dependencies = [("reports", "0003_agreements_and_reminders")]
    operations = [migrations.RunPython(guard.forwards, guard.backwards)]
