"""Put the triggers on that keep papers and what was signed under them append-only in the database itself."""

from django.db import migrations

from web.append_only import GuardAppendOnly

guard = GuardAppendOnly("reports_paper", "reports_papersignature")


class Migration(migrations.Migration):
    dependencies = [("reports", "0005_papers_to_sign")]
    operations = [migrations.RunPython(guard.forwards, guard.backwards)]
