"""Every page that the access matrix shows to a reader, to be opened in a browser."""

from collections.abc import Iterator, Sequence
from itertools import takewhile
from typing import Any

from django.urls import reverse

from permissions.links import key_of
from tests import EVERYTHING
from tests.views.access import Row
from tests.views.test_access import ROWS
from tests.views.world import World

# Answers of addresses so named are files, not pages.
FILES = (
    "photo", "_pdf", "_evidence", "_export", "_geojson", "_gpx", "_csv", "_picture", "lanes_map", "_copy",
    "photo_waiting", "issued_package", "officer_visit_papers", ":receipt", "receipt_by_key",
    "mfa_download_recovery_codes",
    "keeping:health", "keeping:ready", "handbook_pdf", "import_sample", "import_problems",
    "doors:calendar_feed", "doors:vocabulary", "doors:find_linked",
    "field:worker", "field:manifest", "field:me", "field:hunts", "field:pack", "field:photo",
)  # fmt: skip
READERS = ("secretary", "committee", "leader", "member", "anonymous", "link", "expired")
STATUS = {"expired": 410}


def pages(world: World, reader: str, *, after: Sequence[str] = ()) -> Iterator[str]:
    """Addresses of the pages that `reader` may open; what a landholder may open is what lies behind the link.

    `after` gives the order in which readers walk: a page that an earlier one opens is left out, as it differs little,
    unless STUBBLE_EVERYTHING=1.
    """
    earlier = [] if EVERYTHING else list(takewhile(lambda name: name != reader, after))
    for row in ROWS:
        if row.method != "get" or row.name.endswith(FILES) or not _is_for(row, reader):
            continue
        if not any(_is_for(row, name) for name in earlier):
            yield _address(row, reader, world)


def _is_for(row: Row, reader: str) -> bool:
    if row.answer_for(reader) != STATUS.get(reader, 200):
        return False
    by_link = row.name.startswith("reports:landholder")
    return by_link == (reader in {"link", "expired"})


def _address(row: Row, reader: str, world: World) -> str:
    kwargs: dict[str, Any] = row.kwargs(world)
    if "key" in kwargs:
        kwargs["key"] = key_of(world.expired_link if reader == "expired" else world.link)
    return reverse(row.name, kwargs=kwargs)
