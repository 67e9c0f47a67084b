"""Make the export of a small club under the schema of this source tree: `python -m tests.upgrade.make FILE.zip`.

Done once for each release, from the tree that is released; see “Release steps” in DEVELOPERS.md. The tables are made by
the migrations, as a club's are. Photographs and papers go along.
"""

import os
import sys
import tempfile
from pathlib import Path


def main(target: Path) -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {
            "DJANGO_SETTINGS_MODULE": "tests.settings",
            "DATABASE_URL": f"sqlite:///{folder}/club.sqlite3",
        }
        import django

        django.setup()
        from django.conf import settings
        from django.core.management import call_command
        from django.test.utils import override_settings
        from django.utils.timezone import now

        with override_settings(MEDIA_ROOT=f"{folder}/media", LANGUAGE_CODE=settings.LANGUAGE_CODE):
            call_command("migrate", verbosity=0)
            fill()
            from keeping.export import export

            manifest = export(target, at=now())
    rows = sum(each["rows"] for each in manifest["tables"].values())
    print(f"{target}: {rows} rows, {len(manifest['files'])} files, {target.stat().st_size:,} bytes")


def fill() -> None:
    """The club that the pages are tried with, and what is easily lost beside it."""
    from django.core.files.base import ContentFile

    from tests import make, make_field, make_settlement
    from tests.views import world

    made = world.build()
    hunt = make_field.running(None, made.secretary)
    find = make.find(hunt, made.secretary, description='=1+1;"-2"\r\n@x, Ærø 👣')
    make.find_photo(find, display=ContentFile(make.photo_bytes("#123456"), name="Ærø field.jpg"))
    picture = ContentFile(make.photo_bytes("#654321"), name="Lücke.jpg")
    make.incident_photo(make.incident(hunt, made.secretary), display=picture, caption="=1+1")
    make_settlement.valuation(find, "1234.50", by=made.secretary)
    make_field.parked(made.secretary, hunt, sent={"b": [1e22, -0.5, None], "a": "';=1+1"})


if __name__ == "__main__":
    main(Path(sys.argv[1]).absolute())
