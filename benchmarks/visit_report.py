"""Reports of one hunt with many photographs, from the database to the PDF: time and peak memory.

A visit report with 200 and with 500 photographed finds, and a filled-holes report of 900 holes with two photographs
each. Beside each, in the same run, the floor: Pillow writing the same pictures to a PDF without a word. The aims: 200
photographs under 3 s and 300 MB; 500 under 400 MB; 1,800 under 1 GB. Run: python -m benchmarks.visit_report
"""

import io
import os
import shutil
import tempfile
from multiprocessing.util import Finalize
from typing import Any

from PIL import Image

from benchmarks.measure import measure


def finds_200() -> tuple:
    return prepared(finds=200, pairs=0, kind="visit")


def finds_500() -> tuple:
    return prepared(finds=500, pairs=0, kind="visit")


def holes_900() -> tuple:
    return prepared(finds=0, pairs=900, kind="holes")


def prepared(*, finds: int, pairs: int, kind: str) -> tuple:
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
        return make_hunt(finds, pairs, kind)


def make_hunt(finds: int, pairs: int, kind: str) -> tuple:
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
    for number in range(max(finds, pairs)):
        digger = people[number % len(people)]
        east, north = number % 20 / 10_000, number // 20 / 10_000
        where = {"lon": 0.1505 + east, "lat": 53.6003 + north}
        hole = make.hole(hunt, digger, state="filled", filled_at=now(), filled_by=digger, **where)
        if number < pairs:
            for stage in ("before", "after"):
                make.hole_photo(hole, stage=stage, thumb=picture(number % 220))
        if number >= finds:
            continue
        find = make.find(hunt, digger, hole=hole, object_type="halfpenny, worn", **where)
        FindMaterial.objects.create(find=find, material="copper alloy")
        make.find_photo(find, thumb=picture(number % 220))
    return Hunt.objects.select_related("permission", "leader").get(pk=hunt.pk), owner, kind


def picture(number: int) -> Any:
    """A thumbnail with the grain of a photograph, which makes its size lifelike."""
    from django.core.files.base import ContentFile

    grain = Image.effect_noise((480, 360), 14)
    colour = Image.new("L", (480, 360), 30 + number)
    out = io.BytesIO()
    Image.merge("RGB", (grain, Image.blend(grain, colour, 0.5), colour)).save(out, "JPEG", quality=85)
    return ContentFile(out.getvalue(), name=f"{number}.jpg")


def report_of(hunt: Any, owner: Any, kind: str) -> Any:
    from reports.drafts import draft_for_hunt
    from reports.models import Kind

    return draft_for_hunt(Kind(kind), hunt, owner, on=hunt.on).report


def content(hunt: Any, owner: Any, kind: str) -> int:
    """What the report says: every query, the map, the table; the bytes of its canonical JSON."""
    from reports.content import to_json

    return len(to_json(report_of(hunt, owner, kind)))


def whole(hunt: Any, owner: Any, kind: str) -> int:
    """Content and PDF, as issuing does it."""
    from reports.drafts import photos_of
    from reports.pdf import render_pdf

    report = report_of(hunt, owner, kind)
    return len(render_pdf(report, photos_of(report)))


def photographs_by_pillow(hunt: Any, owner: Any, kind: str) -> int:
    """The floor: the same pictures, one a page, without words, tags or layout."""
    from reports.drafts import photos_of

    first, *rest = (Image.open(io.BytesIO(data)) for data in photos_of(report_of(hunt, owner, kind)).values())
    out = io.BytesIO()
    first.save(out, "PDF", save_all=True, append_images=rest)
    return len(out.getvalue())


SIZES = {"200 finds": finds_200, "500 finds": finds_500, "900 holes": holes_900}
WAYS = {"content alone": content, "content and PDF": whole, "pictures by Pillow": photographs_by_pillow}


def main() -> None:
    """Prints one line a size and way: best of three, and the peak of the process with everything in it."""
    for size_name, prepare in SIZES.items():
        for name, work in WAYS.items():
            seconds, extra_mb, peak_mb, size = measure(work, prepare)
            print(
                f"{size_name:10} {name:19} {seconds:6.2f} s  peak {peak_mb:4.0f} MB (+{extra_mb:.0f})"
                f"  {size / 1e6:6.2f} MB out"
            )


if __name__ == "__main__":
    main()
