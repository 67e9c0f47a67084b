"""What a screening says is made in English for everybody and said again, every sentence of it, when it is shown."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

import pytest

import tongue
from law.compare import differences, due_words
from law.facts import FindFacts, LandStatus
from law.pack import load_packs, pack_codes
from law.retold import WORDS_IN, all_retold, retold
from law.rule_words import clock_words, rule_condition
from law.screening import Screening
from law.stages import load_courses, look_at
from law.together import fingerprint, screen_place
from law.tri import Tri
from law.whatif import what_would_change
from tools import texts

pytestmark = pytest.mark.once
AT = datetime(2026, 5, 20, 12, tzinfo=ZoneInfo("Europe/London"))
FINDS = (
    FindFacts(),
    FindFacts(found_on=date(2026, 5, 17), is_coin=Tri.YES, gold=Tri.YES, made_from=1200, made_to=1300, count=12),
    FindFacts(found_on=date(2026, 7, 1), made_from=2000, depth_cm=10, gold=Tri.NO, silver=Tri.NO, dug=Tri.YES),
    FindFacts(
        found_at=datetime(2026, 3, 28, 15, tzinfo=ZoneInfo("Europe/Dublin")),
        from_vessel=Tri.YES, tidal=Tri.YES, vessel_lost_from=1800, vessel_lost_to=1850, depth_cm=55,
        hidden=Tri.YES, human_remains=Tri.YES, land_status=LandStatus.NATIONAL_FOREST, dug=Tri.YES,
    ),
    FindFacts(found_on=date(1990, 3, 1), made_from=-200, made_to=2020, others_nearby=Tri.YES, prehistoric=Tri.YES),
)  # fmt: skip


@cache
def texts_of_the_law() -> frozenset[str]:
    ours = [keys for path, keys in texts.sources() if path.is_relative_to(texts.ROOT / "law")]
    return frozenset(text for keys in ours for _context, text, _plural in keys)


@pytest.fixture
def shouting() -> Iterator[None]:
    """A language in which every text that is collected is said in capitals, its values left as they are."""
    known = texts_of_the_law()
    before = (tongue._one, tongue._many, tongue._marks)

    def shout(text: str) -> str:
        parts = re.split(r"(%\(\w+\)s)", text)
        return "".join(p if p.startswith("%(") else p.upper() for p in parts) if text in known else text

    tongue.speak_with(shout, lambda one, many, n: shout(one if n == 1 else many), lambda: (".", ","))
    yield
    tongue._one, tongue._many, tongue._marks = before


def screenings() -> Iterator[tuple[str, FindFacts, Screening]]:
    for code in pack_codes():
        for facts in FINDS:
            group = (replace(FINDS[1], same_find=Tri.YES),)
            yield code, facts, screen_place(facts, group=group, code=code, on=AT)


def quiet(value: Any, name: str = "") -> Iterator[str]:
    """The words among the parts of `value` that still hold a small letter where words were to be said again."""
    if type(value) is str:
        rest = re.sub(r"\b(\d+ \w+ -?\d{4}|\d\d:\d\d \(\w+\)|Europe/\w+|America/\w+|Atlantic/\w+)", "", value)
        if name in WORDS_IN and name not in {"limit"} and rest != rest.upper():
            yield value
    elif isinstance(value, tuple):
        for part in value:
            yield from quiet(part, name)
    elif hasattr(value, "__dataclass_fields__"):
        for each in value.__dataclass_fields__:
            if each in WORDS_IN and not (type(value).__name__ == "Limit" and each == "after"):
                yield from quiet(getattr(value, each), each)


@pytest.mark.usefixtures("shouting")
def test_every_sentence_of_a_screening_is_said_again() -> None:
    left: set[str] = set()
    seen = 0
    for _code, _facts, screening in screenings():
        left |= set(quiet(all_retold(screening)))
        left |= set(quiet(all_retold(differences(None, screening))))
        left |= {w for duty in screening.duties for w in quiet((retold(due_words(duty.due)),), "words")}
        seen += len(screening.duties)
    assert seen > 100
    assert {words for words in left if not _quotes(words)} == set()


def _quotes(words: str) -> bool:
    """A ground on which a rule does not apply is told with its clause, which is quoted as it is."""
    return ": " in words and words.split(": ")[0].isupper()


@pytest.mark.usefixtures("shouting")
def test_every_answer_rule_and_stage_is_said_again() -> None:
    left: set[str] = set()
    for code in ("england", "netherlands", "us-federal", "ireland"):
        left |= set(quiet(all_retold(what_would_change(FINDS[1], code=code, on=AT))))
    for pack in load_packs().values():
        left |= set(quiet(all_retold(pack)))
        for rule in pack.rules:
            left |= set(quiet(all_retold(rule))) | set(quiet((retold(clock_words(rule.clock)),), "words"))
        for each in (*pack.rules, *pack.search_rules):
            # The titles of other rules stand there with their clauses, which are quoted.
            words = quiet(all_retold(rule_condition(each, pack)))
            left |= {w for w in words if not w.endswith(")")}
    for course in load_courses():
        left |= set(quiet(all_retold(course))) | set(quiet(all_retold(look_at(course, {}, date(2026, 5, 1)))))
    assert left == set()


def test_what_is_kept_and_hashed_is_alike_in_every_language(request: pytest.FixtureRequest) -> None:
    prints = {code: fingerprint(code) for code in pack_codes()}
    kept = [(facts.digest(), screening.to_dict()) for _, facts, screening in screenings()]
    request.getfixturevalue("shouting")
    assert retold("Lost property") == "LOST PROPERTY"
    assert {code: fingerprint(code) for code in pack_codes()} == prints
    assert [(facts.digest(), screening.to_dict()) for _, facts, screening in screenings()] == kept


def test_nothing_changes_in_english() -> None:
    for _code, _facts, screening in screenings():
        assert all_retold(screening) == screening
