"""Put the triggers on that keep valuations, fates and payments append-only in the database itself."""

from django.db import migrations

from web.append_only import GuardAppendOnly

guard = GuardAppendOnly("finds_valuation", "finds_findfate", "finds_sheetpayment")


class Migration(migrations.Migration):
    dependencies = [("finds", "0016_settlement_sheets")]
    operations = [migrations.RunPython(guard.forwards, guard.backwards)]
