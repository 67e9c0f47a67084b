"""Three-valued logic (Kleene's strong tables): yes, no, and not known."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum


class Tri(StrEnum):
    """Yes, no or unknown. `&`, `|` and `~` follow Kleene's strong tables; plain truth is refused.

    Source: S. C. Kleene, Introduction to Metamathematics (1952), section 64, strong three-valued tables.
    """

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"

    def __and__(self, other: Tri) -> Tri:
        if self is Tri.NO or other is Tri.NO:
            return Tri.NO
        return Tri.YES if self is other is Tri.YES else Tri.UNKNOWN

    def __or__(self, other: Tri) -> Tri:
        if self is Tri.YES or other is Tri.YES:
            return Tri.YES
        return Tri.NO if self is other is Tri.NO else Tri.UNKNOWN

    def __invert__(self) -> Tri:
        return _NOT[self]

    def __bool__(self) -> bool:
        # "no" is a non-empty string, so `if tri:` would call it true: refuse instead of guessing.
        raise TypeError(f"Tri.{self.name} is neither true nor false; compare it, e.g. `is Tri.YES`.")

    @property
    def known(self) -> bool:
        return self is not Tri.UNKNOWN


_NOT = {Tri.YES: Tri.NO, Tri.NO: Tri.YES, Tri.UNKNOWN: Tri.UNKNOWN}


def tri(value: bool | None) -> Tri:
    """Turn true, false or None (not known) into a Tri."""
    if value is None:
        return Tri.UNKNOWN
    return Tri.YES if value else Tri.NO


def all_of(values: Iterable[Tri]) -> Tri:
    """The Kleene `and` of any number of values; yes for none."""
    result = Tri.YES
    for value in values:
        if value is Tri.NO:
            return value
        if value is Tri.UNKNOWN:
            result = value
    return result


def any_of(values: Iterable[Tri]) -> Tri:
    """The Kleene `or` of any number of values; no for none."""
    result = Tri.NO
    for value in values:
        if value is Tri.YES:
            return value
        if value is Tri.UNKNOWN:
            result = value
    return result
