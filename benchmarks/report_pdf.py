"""Time and peak memory of a report of 200 finds with photographs, beside the floor: Pillow writing the same pictures.

Each run is a process of its own, so that one's memory is not another's. Run: python -m benchmarks.report_pdf
"""

import io
import os
import resource
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).resolve().parent.parent
FINDS = 200
SIZES = {"thumbnails": (480, 360), "full": (2560, 1920)}


def pictures(size: tuple[int, int]) -> dict[str, bytes]:
    """FINDS different JPEGs with the grain of a photograph, which makes their size lifelike."""
    grain = Image.effect_noise(size, 14)
    made = {}
    for number in range(FINDS):
        colour = Image.new("L", size, 30 + number)
        image = Image.merge("RGB", (grain, Image.blend(grain, colour, 0.5), colour))
        out = io.BytesIO()
        image.save(out, "JPEG", quality=85)
        made[f"find-{number}"] = out.getvalue()
    return made


def with_report(photos: dict[str, bytes]) -> bytes:
    from reports.blocks import Column, Heading, Photo, PhotoGrid, Report, Table
    from reports.pdf import render_pdf

    columns = (Column("No."), Column("Object"), Column("Weight, g", numeric=True), Column("Note"))
    rows = tuple((f"{n:03d}", "Coin", f"{n / 7:.2f}", "Worn, chipped by the plough") for n in range(FINDS))
    grid = PhotoGrid(tuple(Photo(key, f"Find {key}", key) for key in photos), 3)
    blocks = (Heading("Finds"), Table("All finds", columns, rows), Heading("Photographs"), grid)
    return render_pdf(Report("visit", "B-1", "Benchmark", "", "Club", date(2026, 9, 14), (), blocks), photos)


def with_pillow(photos: dict[str, bytes]) -> bytes:
    """The floor: one picture a page, no words, tags or layout. Pillow decodes and encodes each picture again."""
    first, *rest = (Image.open(io.BytesIO(data)) for data in photos.values())
    out = io.BytesIO()
    first.save(out, "PDF", save_all=True, append_images=rest)
    return out.getvalue()


def copied(photos: dict[str, bytes]) -> bytes:
    """The bytes of the pictures alone: what the process weighs before anything is set."""
    return b"".join(photos.values())


WAYS = {"report": with_report, "pillow": with_pillow, "copy": copied}


def one(way: str, size: str) -> None:
    photos = pictures(SIZES[size])
    before = _peak_mb()
    started = time.perf_counter()
    pdf = WAYS[way](photos)
    seconds = time.perf_counter() - started
    sent = sum(map(len, photos.values())) / 1e6
    print(
        f"{size:11} {way:7} {seconds:6.2f} s  peak {_peak_mb():5.0f} MB (before: {before:.0f} MB)"
        f"  in {sent:6.1f} MB, out {len(pdf) / 1e6:6.1f} MB"
    )


def _peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (
        1024 * 1024 if sys.platform == "darwin" else 1024
    )


if __name__ == "__main__":
    if len(sys.argv) == 3:
        one(sys.argv[1], sys.argv[2])
    else:
        environment = {**os.environ, "PYTHONPATH": str(ROOT)}
        for size in SIZES:
            for way in WAYS:
                subprocess.run([sys.executable, __file__, way, size], check=True, env=environment)
