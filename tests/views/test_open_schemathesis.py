"""The open interface against its own definition: schemathesis makes requests from it, right and wrong, and looks
whether each answer is one that the definition promises. All of its checks; the server is this process.

Source: schemathesis 4 (PyPI), property-based tests from OpenAPI documents; its examples follow from a fixed seed.
"""

import math
from typing import Any

import pytest
import schemathesis
from django.core.handlers.wsgi import WSGIHandler
from hypothesis import HealthCheck, settings
from schemathesis import GenerationMode
from schemathesis.config import SchemathesisConfig

from doors.api_document import api_document
from doors.moments import read_interval
from people import limits
from tests import EVERYTHING
from tests.doors_world import arrange, key_for
from tests.views.world import World, shared_world

pytestmark = [pytest.mark.django_db, pytest.mark.once]
standing_world, world = shared_world(arrange)
MADE = {"max-examples": 100 if EVERYTHING else 2, "deterministic": True, "database": "none"}
PHASES = {"coverage": {"enabled": EVERYTHING}}  # every boundary of every parameter: some hundreds of requests


serve = WSGIHandler()


def application(environ: dict[str, Any], start_response: Any) -> Any:
    """The server; the library's own client says of no address where it calls from."""
    return serve({"REMOTE_ADDR": "192.0.2.8"} | environ, start_response)


definition = schemathesis.openapi.from_dict(
    api_document("http://localhost/open", "Ravensand"),
    config=SchemathesisConfig.from_dict({"seed": 1362, "generation": MADE, "phases": PHASES}),
)
definition.app = application


@pytest.fixture
def key(world: World, monkeypatch: pytest.MonkeyPatch) -> str:
    """One that opens everything, as often as it likes."""
    monkeypatch.setitem(limits.LIMITS, "open", "1000000/60s/key")
    monkeypatch.setitem(limits.LIMITS, "key", "1000000/60s/ip")
    return key_for(world.committee)


@definition.parametrize()
@settings(suppress_health_check=list(HealthCheck), deadline=None)
def test_every_answer_is_one_that_the_definition_promises(case: Any, key: str) -> None:
    say_what_a_schema_cannot(case)
    case.call_and_validate(headers={"Authorization": f"Bearer {key}"})


def say_what_a_schema_cannot(case: Any) -> None:
    """Make right requests right in what the standard asks for and its own fragment of OpenAPI has no words for.

    Numbers of a box within the coordinate system, south before north (/req/core/fc-bbox-response), the end of an
    interval after its beginning, and texts without U+0000, which no database keeps. Wrong requests stay as wrong as
    they are.
    """
    if case.meta is None or case.meta.generation.mode is not GenerationMode.POSITIVE:
        return
    for name, said in case.query.items():
        if isinstance(said, str):
            case.query[name] = said.replace("\0", "")
    if "bbox" in case.query:
        given = case.query["bbox"]
        numbers = [float(each) for each in (given.split(",") if isinstance(given, str) else given)]
        half, size = len(numbers) // 2, (180.0, 90.0, 1000.0)
        ends = [
            sorted(math.fmod(numbers[k], size[k % half]) for k in (axis, axis + half)) for axis in range(half)
        ]
        case.query["bbox"] = ",".join(f"{end[side]:f}" for side in (0, 1) for end in ends)
    first, slash, last = str(case.query.get("datetime", "")).partition("/")
    if slash and first.strip(".") and last.strip("."):
        case.query["datetime"] = "/".join(sorted((first, last), key=lambda each: read_interval(each) or ()))
