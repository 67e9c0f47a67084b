"""The packs in force for the club, and one pack rule by rule, as pages show them."""

from dataclasses import dataclass
from typing import Any

from finds.models import Find
from law.model import Pack, Rule, SearchRule
from law.pack import UnknownJurisdictionError, load_pack, pack_codes
from law.retold import all_retold, retold
from law.rule_words import Condition, clock_words, rule_condition
from law.together import packs_for
from people.models import Club
from permissions.models import Site


@dataclass(frozen=True, slots=True)
class RuleShown:
    """A rule of a pack with its conditions and clock in words."""

    rule: Rule | SearchRule
    condition: Condition
    clock: str


def pack_context(code: str) -> dict[str, Any]:
    """Everything that the page of one pack shows. Raises UnknownJurisdictionError."""
    pack = load_pack(code)
    return {
        "pack": all_retold(pack),
        "rules": [_rule(r, pack, clock_words(r.clock)) for r in pack.rules],
        "searches": [_rule(r, pack, "") for r in pack.search_rules],
        "beside": [all_retold(load_pack(other)) for other in pack.also],
        "named_by": [all_retold(load_pack(other)) for other in pack_codes() if code in load_pack(other).also],
    }


def _rule(rule: Rule | SearchRule, pack: Pack, clock: str) -> RuleShown:
    return RuleShown(all_retold(rule), all_retold(rule_condition(rule, pack)), retold(clock))


def packs_in_force() -> tuple[list[Pack], list[Pack], list[str]]:
    """The packs that hold for this club's places, the others that are here, and places without a pack in words."""
    places = set(Site.objects.order_by().values_list("jurisdiction", flat=True).distinct())
    places |= set(Find.objects.order_by().values_list("site__jurisdiction", flat=True).distinct())
    places |= set(Club.objects.values_list("jurisdiction", flat=True))
    known = {pack.code: all_retold(pack) for place in places & set(pack_codes()) for pack in packs_for(place)}
    rest = [all_retold(load_pack(code)) for code in pack_codes() if code not in known]
    without = [str(UnknownJurisdictionError(place)) for place in sorted(places - set(pack_codes()))]
    return sorted(known.values(), key=lambda pack: pack.title), rest, without
