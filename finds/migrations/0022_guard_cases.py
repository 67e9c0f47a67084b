"""Guard what cases gather: signatures, reports to the authority, stages, messages, outcomes and rewards."""

from django.db import migrations

from web.append_only import GuardAppendOnly

guard = GuardAppendOnly(
    "finds_casevote",
    "finds_casereport",
    "finds_casestage",
    "finds_casemessage",
    "finds_caseoutcome",
    "finds_rewardshare",
)


class Migration(migrations.Migration):
    dependencies = [("finds", "0021_cases_from_flag_to_home")]
    operations = [migrations.RunPython(guard.forwards, guard.backwards)]
