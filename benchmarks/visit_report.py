"""The visit report of one hunt with 200 photographed finds, from the database to the PDF: time and peak memory.

Beside it, in the same run, its two parts alone and the floor: Pillow writing the same pictures to a PDF without
a word. The aim of the whole is under 3 s and 300 MB. Run: python -m benchmarks.visit_report
"""

import io
import os
import shutil
import tempfile
from multiprocessing.util import Finalize
from typing import Any

from PIL import Image

from benchmarks.measure import measure

FINDS, HOLES = 200, 200


def prepared() -> tuple:
    """A hunt with its landholder in a database of a temporary file, and the photographs in a folder beside it."""
    folder = tempfile.mkdtemp(prefix="visit-report-")
    Finalize(None, shutil.rmtree, args=[folder], exitpriority=0)
    os.environ |= {
        "DATABASE_URL": f"sqlite:///{folder}/club.sqlite3",
        "DJANGO_SECRET_KEY": "benchmark",
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "MEDIA_ROOT": folder,
    }
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import transaction

    call_command("migrate", verbosity=0)
    with transaction.atomic():
        return make_hunt()


def make_hunt() -> tuple:
    from django.utils.timezone import now

    from finds.models import FindMaterial
    from hunts.models import Hunt
    from people.rights import Role
    from tests import make

    make.club()
    owner = make.landholder(name="Ada Warp")
    people = [make.person(name=f"Person {n}") for n in range(24)]
    hunt = make.hunt(make.site(owner=owner), leader=make.person(Role.LEADER), state="closed")
    for person in people:
        make.attendance(hunt, person, signed_out_at=now())
    for number in range(FINDS):
        digger = people[number % len(people)]
        east, north = number % 20 / 10_000, number // 20 / 10_000
        where = {"lon": 0.1505 + east, "lat": 53.6003 + north}
        hole = make.hole(hunt, digger, state="filled", filled_at=now(), filled_by=digger, **where)
        find = make.find(hunt, digger, hole=hole, object_type="halfpenny, worn", **where)
        FindMaterial.objects.create(find=find, material="copper alloy")
        make.find_photo(find, thumb=picture(number))
    return Hunt.objects.select_related("permission", "leader").get(pk=hunt.pk), owner


def picture(number: int) -> Any:
    """A thumbnail with the grain of a photograph, which makes its size lifelike."""
    from django.core.files.base import ContentFile

    grain = Image.effect_noise((480, 360), 14)
    colour = Image.new("L", (480, 360), 30 + number)
    out = io.BytesIO()
    Image.merge("RGB", (grain, Image.blend(grain, colour, 0.5), colour)).save(out, "JPEG", quality=85)
    return ContentFile(out.getvalue(), name=f"{number}.jpg")


def report_of(hunt: Any, owner: Any) -> Any:
    from reports.drafts import draft_for_hunt
    from reports.models import Kind

    return draft_for_hunt(Kind.VISIT, hunt, owner, on=hunt.on).report


def content(hunt: Any, owner: Any) -> int:
    """What the report says: every query, the map, the table; the bytes of its canonical JSON."""
    from reports.content import to_json

    return len(to_json(report_of(hunt, owner)))


def whole(hunt: Any, owner: Any) -> int:
    """Content and PDF, as issuing does it."""
    from reports.drafts import photos_of
    from reports.pdf import render_pdf

    report = report_of(hunt, owner)
    return len(render_pdf(report, photos_of(report)))


def photographs_by_pillow(hunt: Any, owner: Any) -> int:
    """The floor: the same pictures, one a page, without words, tags or layout."""
    from reports.drafts import photos_of

    first, *rest = (Image.open(io.BytesIO(data)) for data in photos_of(report_of(hunt, owner)).values())
    out = io.BytesIO()
    first.save(out, "PDF", save_all=True, append_images=rest)
    return len(out.getvalue())


WAYS = {"content alone": content, "content and PDF": whole, "pictures by Pillow": photographs_by_pillow}


def main() -> None:
    """Prints one line a way: best of three, and the peak of the process with everything in it."""
    for name, work in WAYS.items():
        seconds, extra_mb, peak_mb, size = measure(work, prepared)
        print(
            f"{name:19} {seconds:6.2f} s  peak {peak_mb:4.0f} MB (+{extra_mb:.0f})  {size / 1e6:6.2f} MB out"
        )


if __name__ == "__main__":
    main()
