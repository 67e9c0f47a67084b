"""Which facts a pack asks for at all, in rules on finds and on searching."""

from __future__ import annotations

from collections.abc import Iterator

from law.leaves import Leaf
from law.model import Pack
from law.nodes import Node

_INNER = ("parts", "part", "of")


def asks_about(pack: Pack, fact: str) -> bool:
    """Does any condition of the pack rest on `fact`, a field of FindFacts or PlaceFacts?"""
    conditions = [rule.when for rule in pack.rules]
    conditions += [rule.when for rule in pack.exclusions] + [rule.when for rule in pack.search_rules]
    conditions += [rule.hint for rule in pack.rules if rule.hint is not None]
    return any(fact in leaf.facts() for each in conditions for leaf in _leaves(each))


def _leaves(node: Node) -> Iterator[Leaf]:
    if isinstance(node, Leaf):
        yield node
    for name in _INNER:
        inner = getattr(node, name, ())
        for part in inner if isinstance(inner, tuple) else (inner,):
            yield from _leaves(part)
