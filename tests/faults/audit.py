"""What must be true of the whole database and its files after every run, whatever struck."""

import re
from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

from django.apps import apps
from django.conf import settings
from django.core.files.storage import default_storage
from django.db import connection
from django.db.models import Count, Max, Min

from finds.models import Case, CustodyEntry, Find, FindNumber, HandOver, Sheet
from finds.states import CASE_MOVES, CaseState, HandOverState
from hunts.models import Hole, SignUp
from keeping.actions import tidy_files, tidy_up
from keeping.files import names_of
from keeping.kinds import kinds
from people.models import AuditEntry, Letter
from tests.faults.errands_field import half_photos
from tests.faults.errands_hunt import whole_find
from tests.faults.stage import Stage

GONE = {"finds.FindImportDraft", "hunts.PhotoDraft"}
"""What people may throw away, and the trail still tells of."""


def problems(stage: Stage) -> Iterator[str]:
    """A sentence for each thing that is wrong."""
    yield from database_is_sound()
    yield from files_are_there()
    yield from numbers()
    yield from trail_has_its_subjects()
    yield from one_holder_each()
    yield from cases_by_legal_steps()
    yield from half_photos()
    yield from letters()
    yield from sheets()
    for row in Find.objects.filter(hunt__in=[stage.hunt, stage.past]):
        yield from whole_find(row)
    taken = SignUp.objects.filter(hunt=stage.coming, state="in").count()
    if taken > stage.coming.capacity:
        yield f"{taken} people hold {stage.coming.capacity} places"


def database_is_sound() -> Iterator[str]:
    """No row points at nothing; on SQLite the file itself is asked as well."""
    if connection.vendor != "sqlite":
        return  # PostgreSQL checks every reference when it commits
    with connection.cursor() as cursor:
        yield from (
            f"a row of {row[0]} points at nothing" for row in cursor.execute("PRAGMA foreign_key_check")
        )
        said = [row[0] for row in cursor.execute("PRAGMA quick_check(5)")]
    if said != ["ok"]:
        yield f"the database file is damaged: {said}"


def files_are_there() -> Iterator[str]:
    """A row has its file, whole: no photograph without its picture, no report without its pages."""
    for name, row in names_of(kinds().values(), "default").items():
        path = Path(default_storage.path(name))
        data = path.read_bytes() if path.exists() else b""
        ends = {".jpg": (b"\xff\xd8", b"\xff\xd9"), ".pdf": (b"%PDF-", b"")}.get(path.suffix, (b"", b""))
        if not data or not data.startswith(ends[0]) or not data.endswith(ends[1]):
            yield f"{row} names {name}, which has {len(data)} bytes"


def strays() -> set[str]:
    """Files in the private store that no row names."""
    root = Path(settings.MEDIA_ROOT)
    there = {str(path.relative_to(root)) for path in root.rglob("*") if path.is_file()}
    return there - names_of(kinds().values(), "default").keys()


def numbers() -> Iterator[str]:
    """Numbers of finds have no gap without a reason, and holes of a hunt none at all."""
    gaps = FindNumber.objects.filter(find=None, void_why="").count()
    if gaps:
        yield f"{gaps} numbers were given to no find"
    for row in (
        FindNumber.objects.order_by()
        .values("year")
        .annotate(n=Count("pk"), low=Min("serial"), top=Max("serial"))
    ):
        if row["n"] != row["top"] - row["low"] + 1:
            yield f"{row['n']} numbers of {row['year']} run from {row['low']} to {row['top']}"
    for row in Hole.objects.order_by().values("hunt").annotate(n=Count("pk"), top=Max("number")):
        if row["n"] != row["top"]:
            yield f"hunt {row['hunt']} has {row['n']} holes and the highest is {row['top']}"


def trail_has_its_subjects() -> Iterator[str]:
    """No line of the trail tells of something that is not there."""
    named: dict[str, set[int]] = {}
    for subject in AuditEntry.objects.values_list("subject", flat=True).distinct():
        label, _, pk = subject.partition(":")
        named.setdefault(label, set()).add(int(pk))
    for label, keys in named.items():
        there = set(apps.get_model(label)._base_manager.values_list("pk", flat=True))
        if label not in GONE and (lost := keys - there):
            yield f"the trail tells of {label} {sorted(lost)[:5]}, which are not there"


def one_holder_each() -> Iterator[str]:
    """The steps of an object's custody run from 1 without a gap, each from where the last one went."""
    rows = CustodyEntry.objects.order_by("find", "step").values_list(
        "find", "step", "from_holder", "to_holder"
    )
    last: tuple[Any, ...] = (None, 0, "", "")
    for row in rows:
        before = last if last[0] == row[0] else (row[0], 0, "", "")
        if row[1] != before[1] + 1 or row[2] != before[3]:
            yield f"custody of find {row[0]}: step {row[1]} from “{row[2]}” follows step {before[1]} to “{before[3]}”"
        last = row
    for item in HandOver.objects.exclude(state=HandOverState.PROPOSED).filter(items__state="waiting"):
        yield f"{item} is {item.state} and an object waits in it"


def cases_by_legal_steps() -> Iterator[str]:
    """A case came to where it is by moves that are allowed, and each is written down."""
    for case in Case.objects.prefetch_related("events"):
        steps = [CaseState(event.to_state) for event in case.events.order_by("pk") if event.to_state]
        if not steps or steps[-1] != case.state:
            yield f"{case} is {case.state} and its history ends with {steps[-1:]}"
        for before, after in pairwise(steps):
            if after not in CASE_MOVES[before]:
                yield f"{case} went from {before} to {after}"


def letters() -> Iterator[str]:
    """What left the house is in the outbox, and left once."""
    sent = [each for path in Path(settings.EMAIL_FILE_PATH).iterdir() for each in _message_ids(path)]
    known = set(Letter.objects.values_list("message_id", flat=True))
    yield from (f"letter {each} left and is in no outbox" for each in set(sent) - known)
    yield from (f"letter {each} left {sent.count(each)} times" for each in set(sent) if sent.count(each) > 1)


def _message_ids(path: Path) -> Iterable[str]:
    return re.findall(r"^Message-ID: (<\S+>)", path.read_text(), re.MULTILINE | re.IGNORECASE)


def sheets() -> Iterator[str]:
    """A sheet that is settled has all its signatures, one that is not lacks some."""
    for sheet in Sheet.objects.prefetch_related("papers__signers__signature"):
        signers = [signer for paper in sheet.papers.all() for signer in paper.signers.all()]
        all_signed = bool(signers) and all(hasattr(signer, "signature") for signer in signers)
        if (sheet.state == "settled") != all_signed:
            yield f"{sheet} is {sheet.state} and {'all' if all_signed else 'not all'} have signed"


def after_tidying(at: datetime) -> Iterator[str]:
    """`tidy`, once a day, takes what a fault left in the store and nothing that a row names."""
    named = set(names_of(kinds().values(), "default"))
    tidy_up(via="fault run", at=at + timedelta(days=2))
    tidy_files(via="fault run", at=at + timedelta(days=2))
    if left := strays():
        yield f"{len(left)} files that no row names are still in the store after tidying"
    if lost := [name for name in named if not default_storage.exists(name)]:
        yield f"tidying took {len(lost)} files that rows name"
