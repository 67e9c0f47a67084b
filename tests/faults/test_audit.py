"""The audit of the fault runs can fail: each thing that could be wrong is made wrong, and it says so."""

from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from random import Random
from shutil import copytree
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.db import connection
from django.test import override_settings
from django.utils.timezone import now

from finds.models import Case, CustodyEntry, FindNumber
from finds.states import CaseState, HandOverState, SheetState
from hunts.models import Hole
from people import audit as trail
from people.models import Letter
from tests import make
from tests.faults import audit
from tests.faults.stage import Stage, cast, set_stage
from tests.views.world import standing

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def standing_stage(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Stage, Path]]:
    """One club for all, with its files."""
    files = tmp_path_factory.mktemp("stage")

    def arrange() -> tuple[Stage, Path]:
        (files / "mail").mkdir()
        with override_settings(MEDIA_ROOT=str(files / "private"), EMAIL_FILE_PATH=str(files / "mail")):
            made = set_stage(cast(), Random(1))
            make.hole_photo(made.holes[0])
        return made, files

    with standing(django_db_blocker, arrange) as made:
        yield made


@pytest.fixture
def stage(standing_stage: tuple[Stage, Path], db: None, settings: Any, tmp_path: Path) -> Stage:
    """A copy of it, the files too: what a test spoils is spoiled for that test."""
    made, files = standing_stage
    copytree(files, tmp_path, dirs_exist_ok=True)
    settings.MEDIA_ROOT, settings.EMAIL_FILE_PATH = str(tmp_path / "private"), str(tmp_path / "mail")
    return deepcopy(made)


def said(check: Callable[[], Iterator[str]]) -> str:
    return "\n".join(check())


def test_a_sound_club_has_nothing_to_say(stage: Stage) -> None:
    assert list(audit.problems(stage)) == []


def test_a_photograph_cut_short_and_one_without_its_file(stage: Stage) -> None:
    photo = stage.holes[0].photos.get()
    Path(photo.display.path).write_bytes(b"\xff\xd8half")
    Path(photo.thumb.path).unlink()
    words = said(audit.files_are_there)
    assert f"names {photo.display.name}, which has 6 bytes" in words
    assert f"names {photo.thumb.name}, which has 0 bytes" in words


def test_a_file_without_a_row(stage: Stage) -> None:
    Path(default_storage.path("left.jpg")).write_bytes(b"x")
    assert audit.strays() == {"left.jpg"}
    assert list(audit.after_tidying(now())) == []
    assert audit.strays() == set()


def test_a_number_that_went_to_no_find_and_a_hole_that_was_skipped(stage: Stage) -> None:
    FindNumber.objects.create(year=now().year, serial=900, given_at=now())
    Hole.objects.filter(pk=stage.holes[-1].pk).update(number=9)
    words = said(audit.numbers)
    assert "1 numbers were given to no find" in words
    assert "run from 1 to 900" in words
    assert "3 holes and the highest is 9" in words


def test_a_line_of_the_trail_about_nothing(stage: Stage) -> None:
    trail.record("hole.log", Hole(pk=123_456, hunt=stage.hunt, number=7), by=None, at=now())
    assert said(audit.trail_has_its_subjects) == "the trail tells of hunts.Hole [123456], which are not there"


def test_custody_with_a_gap_has_two_stories(stage: Stage) -> None:
    find = stage.finds[0]
    CustodyEntry.objects.create(
        find=find, step=3, at=now(), from_holder="club", to_holder="museum", to_name="M"
    )
    assert f"custody of find {find.pk}: step 3 from “club” follows step 1 to “finder”" in said(
        audit.one_holder_each
    )
    row = stage.hand_overs[0]
    row.state, row.ended_at = HandOverState.ACCEPTED, now()
    row.save()
    assert "accepted and an object waits in it" in said(audit.one_holder_each)


def test_a_case_that_jumped(stage: Stage) -> None:
    case = Case.objects.get()
    case.events.create(verb="moved", at=now(), to_state=CaseState.CLOSED)
    words = said(audit.cases_by_legal_steps)
    assert "is flagged and its history ends with" in words
    assert "went from flagged to closed" in words


def test_a_sheet_that_is_settled_by_nobody(stage: Stage) -> None:
    sheet: Any = stage.signers[0].paper.sheet
    sheet.state = SheetState.SETTLED
    sheet.save()
    assert "is settled and not all have signed" in said(audit.sheets)


def test_a_letter_of_nothing_and_one_that_left_twice(stage: Stage, settings: Any) -> None:
    row = Letter.objects.all()[0]
    for name, key in (("1", "<none@x>"), ("2", row.message_id), ("3", row.message_id)):
        (Path(settings.EMAIL_FILE_PATH) / name).write_text(f"Subject: x\nMessage-ID: {key}\n\nwords\n")
    words = said(audit.letters)
    assert "letter <none@x> left and is in no outbox" in words
    assert f"letter {row.message_id} left 2 times" in words


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL refuses it at once")
def test_a_row_that_points_at_nothing(stage: Stage) -> None:
    with connection.constraint_checks_disabled(), connection.cursor() as cursor:
        cursor.execute("UPDATE hunts_holephoto SET hole_id = 987654")
        assert said(audit.database_is_sound) == "a row of hunts_holephoto points at nothing"
        cursor.execute("UPDATE hunts_holephoto SET hole_id = %s", [stage.holes[0].pk])
