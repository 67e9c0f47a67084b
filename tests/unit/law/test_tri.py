"""Kleene's strong tables, from S. C. Kleene, Introduction to Metamathematics (1952), section 64."""

from itertools import product

import pytest

from law.tri import Tri, all_of, any_of, tri

Y, N, U = Tri.YES, Tri.NO, Tri.UNKNOWN

AND = {(Y, Y): Y, (Y, N): N, (Y, U): U, (N, Y): N, (N, N): N, (N, U): N, (U, Y): U, (U, N): N, (U, U): U}
OR = {(Y, Y): Y, (Y, N): Y, (Y, U): Y, (N, Y): Y, (N, N): N, (N, U): U, (U, Y): Y, (U, N): U, (U, U): U}


@pytest.mark.parametrize(("a", "b"), list(product(Tri, Tri)))
def test_and_and_or_follow_the_tables(a, b):
    assert a & b is AND[a, b]
    assert a | b is OR[a, b]
    assert all_of([a, b]) is AND[a, b]
    assert any_of([a, b]) is OR[a, b]


def test_not_turns_yes_and_no_and_leaves_unknown():
    assert [~Y, ~N, ~U] == [N, Y, U]


def test_empty_all_is_yes_and_empty_any_is_no():
    assert all_of([]) is Y
    assert any_of([]) is N


def test_plain_truth_is_refused():
    with pytest.raises(TypeError, match="neither true nor false"):
        bool(N)


def test_from_a_bool_or_none():
    assert [tri(True), tri(False), tri(None)] == [Y, N, U]
