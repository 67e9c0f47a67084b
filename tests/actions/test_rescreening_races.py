"""A rescreening after a change of packs while somebody saves the same find: the newest facts get the newest answer."""

import time
from collections.abc import Callable
from decimal import Decimal
from threading import Event, current_thread
from typing import Any

import pytest
from django.utils.timezone import now

from finds.actions import change_find, rescreen_batch, screening, start_rescreening
from finds.legal import facts_of
from finds.models import Find, Rescreening, ScreeningRecord
from law.together import fingerprint
from people.models import User
from tests import make
from tests.actions import test_rescreening
from tests.actions.test_hunt_races import together
from tests.actions.test_rescreening import five_per_cent, silver

pytestmark = pytest.mark.django_db(transaction=True)
packs = test_rescreening.packs
PAUSE_S = 0.4


@pytest.fixture
def pausing(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], Event]:
    """`pausing("save")`: after that job has read its facts, and before it writes its answer, the other one begins."""
    judge = screening.judge_together

    def pause(job: str) -> Event:
        has_read = Event()

        def judged(finds: Any, *, at: Any) -> Any:
            answers = judge(finds, at=at)
            if current_thread().name == job and not has_read.is_set():
                has_read.set()
                time.sleep(PAUSE_S)
            return answers

        monkeypatch.setattr(screening, "judge_together", judged)
        return has_read

    return pause


def told(job: str, wait_for: Event | None, work: Callable[[], Any]) -> Callable[[], Any]:
    def run() -> Any:
        current_thread().name = job
        if wait_for is not None:
            assert wait_for.wait(60)
        return work()

    return run


def newest(find: Find) -> tuple[ScreeningRecord, dict[str, Any], str]:
    """The newest record, the facts as they stand, and the packs that the find says judged it."""
    there = Find.objects.select_related("site").get(pk=find.pk)
    return ScreeningRecord.objects.filter(find=find).latest("pk"), facts_of(there).to_dict(), there.judged_by


@pytest.mark.parametrize("first", ["rescreening", "save"])
@pytest.mark.parametrize(("silver_percent", "weight"), [(2, "judgement"), (12, "test")])
def test_the_newest_answer_is_of_the_newest_facts(
    member: User,
    committee: User,
    packs: Any,
    pausing: Any,
    first: str,
    silver_percent: int,
    weight: str,
) -> None:
    make.club()
    hunt = make.hunt(leader=make.person(), state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    find = silver(hunt, member)  # 8 per cent: nothing under the packs of before, a duty under those to come
    five_per_cent(packs)
    has_read = pausing(first)
    materials = {"silver": Decimal(silver_percent), "copper alloy": Decimal(100 - silver_percent)}

    def rescreen_all() -> Rescreening | None:
        run = start_rescreening(by=committee, at=now())
        while run is not None and rescreen_batch(run.pk, by=committee, at=now()):
            pass
        return run

    ends = together(
        told("rescreening", has_read if first == "save" else None, rescreen_all),
        told(
            "save",
            has_read if first == "rescreening" else None,
            lambda: change_find(find.pk, by=member, at=now(), materials=materials),
        ),
    )
    assert [end for end in ends if isinstance(end, Exception)] == []
    assert isinstance(ends[1], Find)
    [(record, facts, judged_by)] = together(lambda: newest(find))
    assert facts["precious_pct_low"] == silver_percent
    assert record.facts == facts
    assert record.judged_by == judged_by == fingerprint("england")
    assert record.weight == weight
