"""Every fact that a law pack may ask for can be answered: by the record, by the site, or by a question on the form."""

from collections.abc import Iterator

import pytest

from finds.forms.facts import FactsForm
from law.derive import fields_behind
from law.facts import FindFacts, LandStatus
from law.leaves import Leaf
from law.nodes import Node
from law.pack import load_pack, pack_codes

# What finds/legal.py takes from the record (materials with their shares among it) and from its site.
OF_THE_RECORD = {
    "found_at", "is_coin", "count", "made_from", "made_to", "depth_cm", "precious_pct_low", "precious_pct_high",
    "realised_on",
}  # fmt: skip
OF_THE_SITE = {"tidal", "church_land", "land_status", "protected_place"}


def leaves(node: Node) -> Iterator[Leaf]:
    if isinstance(node, Leaf):
        yield node
    for name in ("parts", "part", "of"):
        inner = getattr(node, name, ())
        for part in inner if isinstance(inner, tuple) else (inner,):
            yield from leaves(part)


def facts_of_pack(code: str) -> set[str]:
    pack = load_pack(code)
    nodes = [rule.when for rule in pack.rules] + [exclusion.when for exclusion in pack.exclusions]
    nodes += [rule.hint for rule in pack.rules if rule.hint is not None]
    return {fact for node in nodes for leaf in leaves(node) for fact in leaf.facts()}


@pytest.mark.parametrize("code", pack_codes())
def test_every_fact_of_the_pack_can_be_answered(code: str) -> None:
    facts = facts_of_pack(code)
    assert len(facts) > 3
    for fact in facts:
        names = fields_behind(fact)
        form = FactsForm(asked=list(names), stored={})
        asked = {name for name in names if name in form.fields}
        assert asked | (set(names) & (OF_THE_RECORD | OF_THE_SITE)), f"nobody can answer {fact}"


def test_who_holds_the_land_is_asked_first_and_kept() -> None:
    assert "land_status" in facts_of_pack("us-federal")
    form = FactsForm({"land_status": "tribal"}, asked=["land_status", "dug"], stored={})
    assert next(iter(form.fields)) == "land_status"
    assert form.is_valid(), form.errors
    assert FindFacts.from_dict(form.answers()).land_status is LandStatus.TRIBAL
    choices = {value for value, _ in form.fields["land_status"].choices}  # type: ignore[attr-defined]
    assert choices == {status.value for status in LandStatus}


def test_the_years_of_a_lost_ship_are_kept_as_years() -> None:
    asked = list(fields_behind("vessel_lost_from"))
    form = FactsForm({"vessel_lost_from": "1890", "vessel_lost_to": ""}, asked=asked, stored={})
    assert form.is_valid(), form.errors
    assert form.answers() == {"vessel_lost_from": 1890}
    wrong = FactsForm({"vessel_lost_from": "0"}, asked=asked, stored={})
    assert not wrong.is_valid()
    assert "There is no year 0" in str(wrong.errors)
