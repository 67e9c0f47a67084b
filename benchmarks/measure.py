"""Time and peak memory of one call, alone in a fresh process, so that no peer warms the other's memory."""

import multiprocessing
import resource
import sys
import time
from collections.abc import Callable
from typing import Any


def _child(pipe: Any, work: Callable[..., Any], prepared: Callable[..., tuple], repeats: int) -> None:
    arguments = prepared()
    base = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    times, answer = [], None
    for _ in range(repeats):
        began = time.perf_counter()
        answer = work(*arguments)
        times.append(time.perf_counter() - began)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    scale = 1024 if sys.platform != "darwin" else 1
    pipe.send((min(times), (peak - base) * scale / 1e6, peak * scale / 1e6, answer))


def measure(work: Callable[..., Any], prepared: Callable[..., tuple], repeats: int = 3) -> tuple:
    """(best seconds, extra peak MB, whole peak MB, answer) of `work(*prepared())`; the answer must be
    picklable.
    """
    here, there = multiprocessing.get_context("spawn").Pipe()
    process = multiprocessing.get_context("spawn").Process(
        target=_child, args=(there, work, prepared, repeats)
    )
    process.start()
    there.close()
    answer = here.recv()
    process.join()
    return answer
