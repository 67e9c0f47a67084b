"""The gate against its table of worked cases, and the words it gives."""

import pytest

from permissions.gate import Answer, ReasonCode, gate
from tests.unit.permissions.gate_cases import CASES


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.said)
def test_worked_case(case):
    decision = gate(case.site, case.permission, case.visit)
    assert decision.answer == case.answer
    assert tuple(r.code for r in decision.reasons) == case.codes


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.said)
def test_reasons_are_sentences_with_their_record(case):
    for reason in gate(case.site, case.permission, case.visit).reasons:
        assert reason.words[0].isupper()
        assert reason.words.endswith(".")
        assert ".." not in reason.words
        assert "None" not in reason.words
        assert reason.record


def test_the_table_is_as_long_as_promised_and_says_nothing_twice():
    assert len(CASES) >= 60
    assert len({case.said for case in CASES}) == len(CASES)


def test_every_answer_and_every_reason_is_in_the_table():
    assert {case.answer for case in CASES} == set(Answer)
    assert {code for case in CASES for code in case.codes} == set(ReasonCode)
