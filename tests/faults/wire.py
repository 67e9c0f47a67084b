"""How people's requests reach the server in a fault run: cut off, doubled, sent again, or given up."""

import http.client
import json
import socket
import threading
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, field
from http.cookies import SimpleCookie
from random import Random
from typing import Any
from urllib.parse import urlencode

from django.conf import settings
from django.contrib.messages import ERROR
from django.contrib.messages.storage.cookie import CookieStorage
from django.http import HttpRequest
from django.test.client import BOUNDARY, MULTIPART_CONTENT, encode_multipart

SECRET = "f" * 32
"""What a page would have given as its token: a browser sends it as cookie and as header alike."""
PATIENCE_S = 60  # a server that was killed needs some of it to start again on a busy machine


@dataclass(frozen=True)
class Asked:
    """One request, ready to be sent as often as it takes."""

    method: str
    path: str
    body: bytes = b""
    content_type: str = "application/x-www-form-urlencoded"
    headers: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Answer:
    """`refused` is what the next page would say in red."""

    status: int
    location: str
    body: bytes
    refused: tuple[str, ...] = ()

    def json(self) -> Any:
        return json.loads(self.body)


def _refused(cookies: list[str]) -> tuple[str, ...]:
    """The errors among the messages that an answer gives along for the next page."""
    told = SimpleCookie(cookies[0] if cookies else "").get("messages")
    messages = CookieStorage(HttpRequest())._decode(told.value) if told and told.value else None
    return tuple(str(each) for each in messages or () if getattr(each, "level", 0) >= ERROR)


def form(path: str, files: dict[str, Any] | None = None, **fields: Any) -> Asked:
    """A form as a browser sends it."""
    if files is None:
        return Asked("POST", path, urlencode(fields, doseq=True).encode())
    return Asked("POST", path, encode_multipart(BOUNDARY, fields | files), MULTIPART_CONTENT)


def as_json(path: str, value: Any) -> Asked:
    return Asked("POST", path, json.dumps(value).encode(), "application/json")


@dataclass
class Manners:
    """How likely a request is cut off after it was sent, doubled at the same moment, or not sent again."""

    cut: float = 0.06
    double: float = 0.08
    give_up: float = 0.12


@dataclass
class Wire:
    """The way to one server. `may_fail()` says whether a 5xx is to be expected at this moment."""

    port: int
    may_fail: Callable[[float], bool]
    manners: Manners = field(default_factory=Manners)
    counts: Counter[str] = field(default_factory=Counter)
    troubles: list[str] = field(default_factory=list)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def count(self, what: str) -> None:
        with self._lock:
            self.counts[what] += 1

    def send(self, session: str, asked: Asked, rng: Random) -> Answer | None:
        """The answer, after as many tries as it takes; None if none came until it was given up."""
        self.count("requests")
        ends = time.monotonic() + PATIENCE_S
        while time.monotonic() < ends:
            if rng.random() < self.manners.cut:
                self._cut_off(session, asked, rng.choice((0, 0.002, 0.01, 0.03)))
                answer = None
            elif asked.method != "GET" and rng.random() < self.manners.double:
                answer = self._doubled(session, asked)
            else:
                answer = self._once(session, asked)
            if answer is not None:
                return answer
            if rng.random() < self.manners.give_up:
                self.count("given up")
                return None
            time.sleep(rng.uniform(0.02, 0.3))
        self.troubles.append(f"{asked.method} {asked.path} got no answer within {PATIENCE_S} s")
        return None

    def _doubled(self, session: str, asked: Asked) -> Answer | None:
        self.count("doubled at once")
        with ThreadPoolExecutor(1) as other:
            twin = other.submit(self._once, session, asked)
            first = self._once(session, asked)
            return first or twin.result()

    def _head(self, session: str, asked: Asked) -> dict[str, str]:
        cookies = f"csrftoken={SECRET}"
        if session:
            cookies += f"; {settings.SESSION_COOKIE_NAME}={session}"
        told = {"Cookie": cookies, "X-CSRFToken": SECRET, "Connection": "close"}
        return told | {"Content-Type": asked.content_type} | dict(asked.headers)

    def _once(self, session: str, asked: Asked) -> Answer | None:
        self.count("sent")
        began = time.monotonic()
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        try:
            connection.request(asked.method, asked.path, asked.body or None, self._head(session, asked))
            got = connection.getresponse()
            cookies = [each for each in got.headers.get_all("Set-Cookie", []) if each.startswith("messages=")]
            answer = Answer(got.status, got.headers.get("Location", ""), got.read(), _refused(cookies))
        except (OSError, http.client.HTTPException):
            self.count("connection broken")
            return None
        finally:
            connection.close()
        if answer.status < 500:
            return answer
        self.count(f"answered {answer.status}")
        if not self.may_fail(began):
            self.troubles.append(
                f"{asked.method} {asked.path} was answered {answer.status} without a fault that explains it"
            )
        return None

    def _cut_off(self, session: str, asked: Asked, after_s: float) -> None:
        """All of it goes out and nobody waits for the answer."""
        self.count("sent")
        self.count("answer lost")
        lines = [
            f"{asked.method} {asked.path} HTTP/1.1",
            "Host: 127.0.0.1",
            f"Content-Length: {len(asked.body)}",
        ]
        lines += [f"{name}: {value}" for name, value in self._head(session, asked).items()]
        with suppress(OSError), socket.create_connection(("127.0.0.1", self.port), timeout=5) as line:
            line.sendall("\r\n".join([*lines, "", ""]).encode() + asked.body)
            time.sleep(after_s)
