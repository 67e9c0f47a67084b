"""Many people at once, each with a connection of their own, from one process; and how long each answer took."""

import asyncio
import time
from collections import Counter, defaultdict
from collections.abc import Awaitable, Callable, Iterable
from dataclasses import dataclass, field

from tests.faults.wire import SECRET

LONGEST_S = 30
"""The patience of the field page (static/js/field/api.js); whoever waits longer was not served."""


@dataclass
class Times:
    """Seconds of every answer by what was asked, and what went wrong."""

    taken: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    errors: Counter[str] = field(default_factory=Counter)

    def report(self, title: str, seconds: float) -> None:
        count = sum(map(len, self.taken.values()))
        wrong = f"{sum(self.errors.values())} errors {dict(self.errors) or ''}"
        print(f"{title}: {count:,} answers in {seconds:.1f} s, {wrong}")
        for what, times in self.taken.items():
            marks = " ".join(f"p{mark} {quantile(times, mark):8.3f}" for mark in (50, 95, 99))
            print(f"  {what:22} {len(times):6,}  {marks}  longest {max(times):8.3f} s")


def quantile(times: list[float], percent: int) -> float:
    """The smallest of the times that `percent` per cent of them do not exceed."""
    ordered = sorted(times)
    return ordered[max(0, -(-len(ordered) * percent // 100) - 1)]


@dataclass
class Caller:
    """One person with a session."""

    port: int
    session: str
    times: Times

    async def ask(
        self, what: str, path: str, body: bytes = b"", *, method: str = "", kind: str = "", head: str = ""
    ) -> bytes:
        """The body of the answer; its time is kept under `what`. An answer of 400 and more is an error."""
        began = time.perf_counter()
        try:
            async with asyncio.timeout(LONGEST_S):
                status, answer = await self._talk(
                    method or ("POST" if body else "GET"), path, body, kind, head
                )
        except (OSError, asyncio.IncompleteReadError, TimeoutError, IndexError, ValueError) as error:
            self.times.errors[f"{what}: {type(error).__name__}"] += 1
            return b""
        self.times.taken[what].append(time.perf_counter() - began)
        if status >= 400:
            self.times.errors[f"{what}: {status}"] += 1
        return answer

    async def _talk(self, method: str, path: str, body: bytes, kind: str, head: str) -> tuple[int, bytes]:
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
        try:
            lines = [
                f"{method} {path} HTTP/1.1",
                "Host: 127.0.0.1",
                "Connection: close",
                f"Cookie: sessionid={self.session}; csrftoken={SECRET}",
                f"X-CSRFToken: {SECRET}",
                f"Content-Length: {len(body)}",
                *([f"Content-Type: {kind}"] if kind else []),
                *([head] if head else []),
            ]
            writer.write("\r\n".join([*lines, "", ""]).encode() + body)
            await writer.drain()
            top, _, answer = (await reader.read()).partition(b"\r\n\r\n")
            return int(top.split(b" ", 2)[1]), answer
        finally:
            writer.close()


def all_at_once(people: Iterable[Callable[[], Awaitable[None]]]) -> float:
    """Let everybody do what they came for; the seconds until the last is done."""

    async def together() -> None:
        await asyncio.gather(*(person() for person in people))

    began = time.perf_counter()
    asyncio.run(together())
    return time.perf_counter() - began
