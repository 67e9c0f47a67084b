"""One run: a seed, some dozens of writes by a dozen people, and what strikes meanwhile; then the audit."""

import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any

from django.db import connection

from tests.faults import errands_custody as custody
from tests.faults import errands_hunt as hunt
from tests.faults import errands_land as land
from tests.faults.audit import problems
from tests.faults.errands import Errand
from tests.faults.errands_field import gap, sync
from tests.faults.stage import Cast, Stage, set_stage
from tests.faults.strikes import Weather
from tests.faults.wire import Answer, Asked, Wire

LASTS_S = 1.2
HANDS = 10
MANY = (
    hunt.hole,
    hunt.hole,
    hunt.find,
    hunt.find,
    hunt.photo,
    hunt.photo,
    sync,
    sync,
    hunt.incident,
    gap,
    custody.value,
)
SOME: tuple[Callable[[Stage], Any], ...] = (
    hunt.ring, hunt.fill, hunt.sign_up, hunt.roll_call, hunt.table, hunt.stop, land.sign, land.pause, land.gate,
    land.concern, custody.hand_over, custody.propose, custody.move, custody.paper, custody.case, custody.reported,
    custody.vote, custody.message,
)  # fmt: skip
REPORT_EVERY, BACKUP_EVERY = 6, 8


@dataclass
class Told:
    """What one run came to."""

    seed: int
    faults: list[str] = field(default_factory=list)
    kinds: Counter[str] = field(default_factory=Counter)
    acknowledged: Counter[str] = field(default_factory=Counter)
    problems: list[str] = field(default_factory=list)
    seconds: float = 0.0


def plan(stage: Stage, folder: Path, seed: int) -> list[Errand]:
    """Each errand with its moment; those that race share one."""
    rng = stage.rng
    makers: list[Callable[[Stage], Any]] = [rng.choice(MANY) for _ in range(10)] + rng.sample(SOME, 7)
    if seed % REPORT_EVERY == 0:
        makers.append(land.report)
    if seed % BACKUP_EVERY == 0:
        makers.append(lambda _: land.backup(folder))
    planned: list[Errand] = []
    for maker in makers:
        made, at_s = maker(stage), rng.uniform(0, LASTS_S)
        for errand in made if isinstance(made, list) else [made]:
            errand.at_s = at_s
            planned.append(errand)
    return sorted(planned, key=lambda errand: errand.at_s)


def run(seed: int, cast: Cast, weather: Weather, wire: Wire, folder: Path) -> Told:
    """Play the seed. What is wrong afterwards is in `problems`, each a sentence."""
    began = time.monotonic()
    told, rng = Told(seed), Random(seed)
    stage = set_stage(cast, rng)
    planned = plan(stage, folder, seed)
    strikes = sorted(
        (rng.uniform(0.05, LASTS_S), *weather.some(rng)) for _ in range(rng.choice((1, 1, 2, 3)))
    )
    told.faults = [name for _, name, _ in strikes]
    start = time.monotonic()
    striker = threading.Thread(target=_strike_all, args=(strikes, weather, start))
    striker.start()
    with ThreadPoolExecutor(HANDS) as hands:
        sent = [
            hands.submit(_go, errand, Random(f"{seed} {n}"), cast, wire, start)
            for n, errand in enumerate(planned)
        ]
        acknowledged = [each.result() for each in sent]
    striker.join()
    weather.clear()
    connection.close()  # the audit looks with eyes of its own, at a database that may have been restarted
    if "clock jumped" in told.faults:
        cast.sign_in()
    for errand, got in zip(planned, acknowledged, strict=True):
        told.kinds[errand.kind] += 1
        told.acknowledged[errand.kind] += got
        told.problems += [f"{errand.kind}: {words}" for words in errand.check(got)]
    told.problems += [*problems(stage), *_said(wire)]
    told.seconds = time.monotonic() - began
    return told


def _strike_all(strikes: list[tuple[float, str, Callable[[], Any]]], weather: Weather, start: float) -> None:
    for at_s, name, hit in strikes:
        time.sleep(max(0.0, start + at_s - time.monotonic()))
        weather.strike(name, hit)


def _go(errand: Errand, rng: Random, cast: Cast, wire: Wire, start: float) -> bool:
    time.sleep(max(0.0, start + errand.at_s - time.monotonic()))
    session = cast.session(errand.who)

    def send(asked: Asked) -> Answer | None:
        return wire.send(session, asked, rng)

    try:
        return errand.go(send)
    finally:
        connection.close()  # only the backup has one in this thread


def _said(wire: Wire) -> Iterator[str]:
    """What the wire met since it was last asked."""
    yield from wire.troubles
    wire.troubles.clear()
