"""The table in which tries are counted for all processes together, so that `migrate` is all a club has to run."""

from django.conf import settings
from django.core.management import call_command
from django.db import migrations


def make(apps, editor):
    call_command("createcachetable", database=editor.connection.alias, verbosity=0)


def drop(apps, editor):
    for cache in settings.CACHES.values():
        if cache["BACKEND"].endswith("DatabaseCache"):
            editor.execute(f"DROP TABLE IF EXISTS {editor.quote_name(cache['LOCATION'])}")


class Migration(migrations.Migration):
    dependencies = [("people", "0006_accounts")]
    operations = [migrations.RunPython(make, drop)]
