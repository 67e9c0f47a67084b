"""Say which field of its form a waiting photograph came in, and leave its table to the hunts."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("finds", "0022_guard_cases"),
        ("hunts", "0010_photographs_that_wait"),
    ]
    operations = [
        migrations.AddField(
            model_name="photodraft",
            name="slot",
            field=models.CharField(default="photos", max_length=20),
        ),
        migrations.RemoveConstraint(model_name="photodraft", name="photo_draft_once"),
        migrations.AddConstraint(
            model_name="photodraft",
            constraint=models.UniqueConstraint(
                fields=("made_by", "form_key", "slot", "sha256"), name="photo_draft_once"
            ),
        ),
        migrations.SeparateDatabaseAndState(state_operations=[migrations.DeleteModel(name="PhotoDraft")]),
    ]
