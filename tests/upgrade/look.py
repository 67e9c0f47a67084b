"""Take an export into the database of DATABASE_URL, bring it up to date, and say as JSON what is there then."""

import json
import os
import sys
import tempfile
from pathlib import Path
from typing import Any


def main(source: Path) -> dict[str, Any]:
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    import django

    django.setup()
    from django.core.management import call_command
    from django.test import Client
    from django.test.utils import override_settings
    from django.urls import reverse

    from keeping.bring_in import bring_in
    from keeping.kinds import applied, kinds, known
    from people.models import RoleHeld
    from tests.house.test_migrated import tables

    with tempfile.TemporaryDirectory() as folder, override_settings(MEDIA_ROOT=folder):
        proof = bring_in(source)
        call_command("migrate", check_unapplied=True, verbosity=0)
        client = Client()
        client.force_login(RoleHeld.objects.filter(role="secretary").order_by("pk")[0].user)
        pages = (
            "today",
            "finds:list",
            "hunts:list",
            "permissions:site_list",
            "finds:case_list",
            "people:audit_list",
        )
        return {
            "proof": {
                "rows": proof.rows,
                "files": proof.files,
                "brought_up_to_date": proof.brought_up_to_date,
            },
            "is_up_to_date": applied("default") == known(),
            "rows": {label: kind.rows("default").count() for label, kind in kinds().items()},
            "contents": {label: contents(kinds()[label], columns) for label, columns in CONTENTS.items()},
            "guarded": tables()["guarded"],
            "pages": {page: client.get(reverse(page)).status_code for page in pages},
        }


CONTENTS = {
    "finds.find": ["number", "object_type", "description", "lon", "lat"],
    "hunts.hole": ["number", "lon", "lat", "depth_cm"],
    "finds.custodyentry": ["find_id", "step"],
    "people.user": ["email", "name"],
    "permissions.boundary": ["site_id", "area_m2"],
    "people.auditentry": ["verb", "subject", "label"],
}
"""Columns that say whether the records are the same, in tables that were there from the first."""


def contents(kind: Any, columns: list[str]) -> list[list[Any]]:
    return [list(row) for row in kind.rows("default").values_list(*columns)]


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]))))
