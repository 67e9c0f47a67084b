"""Put the triggers on that keep the history of incidents append-only in the database itself."""

from django.db import migrations

from web.append_only import GuardAppendOnly

guard = GuardAppendOnly("hunts_incidentevent")


class Migration(migrations.Migration):
    dependencies = [("hunts", "0006_incidents_that_are_taken_over_and_closed")]
    operations = [migrations.RunPython(guard.forwards, guard.backwards)]
