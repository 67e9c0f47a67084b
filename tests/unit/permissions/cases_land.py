"""Worked cases: the ground, the farming year and what the law asks. Rules: facts/trade.md 1.4 and 1.5."""

from dataclasses import replace
from datetime import date, timedelta

from permissions.gate import (
    Answer,
    ClosedPeriodFacts,
    FieldStateFacts,
    LicenceFacts,
    OverlapFacts,
    Period,
    PermissionState,
    ProtectedFacts,
    Relation,
    Terms,
)
from permissions.terms import LivestockRule
from tests.unit.permissions.make import DAY, STUBBLE, case, on, permission, site

MOUND = ProtectedFacts("protected:1", "Howe Mound", "scheduled monument", Relation.TOUCHES)
CONSENT = Period(date(2026, 8, 1), date(2026, 9, 30), "licence:2")
PHEASANT = ClosedPeriodFacts(
    "closed:1", "Pheasant shooting", "season", date(2025, 10, 1), date(2026, 2, 1), True
)
DIG_LICENCE = LicenceFacts(
    "need:1",
    "ni-art-41",
    "Digging to search for archaeological objects in Northern Ireland needs a licence (art. 41)",
)
CONSENT_IE = LicenceFacts(
    "need:2", "ie-1987-2", "A detector search in Ireland needs the Minister's written consent (1987 Act s. 2)"
)
EWES = replace(STUBBLE, livestock="ewes with lambs")
DRILLED = FieldStateFacts("state:2", date(2026, 8, 25), "oilseed rape", "drilled", Answer.SHUT)
SHOOT_DAY = ClosedPeriodFacts("closed:2", "Shoot day", "shooting", DAY, DAY)


def held(licence, *periods):
    return replace(licence, lifted_by=periods)


def other(**given):
    facts = {"key": "permission:2", "name": "the Far Carr permission", **given}
    return OverlapFacts(replace(permission(), **facts), "Far Carr", 4_000.0)


CASES = (
    case(
        "There is a scheduled mound in the corner.",
        "shut",
        "protected_touches",
        site=site(protected=(MOUND,)),
    ),
    case(
        "The heritage body gave us a paper for the mound this summer.",
        "ask",
        "protected_touches",
        site=site(protected=(replace(MOUND, lifted_by=(CONSENT,)),)),
    ),
    case(
        "That paper for the mound ran out last year.",
        "shut",
        "protected_touches",
        site=site(protected=(replace(MOUND, lifted_by=(Period(None, date(2025, 12, 31)),)),)),
    ),
    case(
        "The mound is over the hedge, close by.",
        "ask",
        "protected_buffer",
        site=site(protected=(replace(MOUND, relation=Relation.IN_BUFFER),)),
    ),
    case(
        "Protected? I never looked.", "ask", "protected_check_missing", site=site(protected_checked_on=None)
    ),
    case(
        "We looked it up two summers ago.",
        "ask",
        "protected_check_old",
        site=site(protected_checked_on=date(2024, 8, 1)),
    ),
    case("We looked it up a year ago to the day.", "open", site=site(protected_checked_on=date(2025, 8, 30))),
    case(
        "We looked it up a year and a day ago.",
        "ask",
        "protected_check_old",
        site=site(protected_checked_on=date(2025, 8, 29)),
    ),
    case(
        "The field is near Lough Neagh; I own it and I said yes.",
        "shut",
        "licence_missing",
        site=site(jurisdiction="northern-ireland", licences=(DIG_LICENCE,)),
    ),
    case(
        "The archaeologists have a licence for August.",
        "open",
        site=site(jurisdiction="northern-ireland", licences=(held(DIG_LICENCE, CONSENT),)),
    ),
    case(
        "Their licence ended in July.",
        "shut",
        "licence_missing",
        site=site(
            jurisdiction="northern-ireland", licences=(held(DIG_LICENCE, Period(None, date(2026, 7, 31))),)
        ),
    ),
    case(
        "It is in Meath; nobody has written to the Minister.",
        "shut",
        "licence_missing",
        site=site(jurisdiction="ireland", licences=(CONSENT_IE,)),
    ),
    case(
        "Which side of the border it lies, who knows.",
        "ask",
        "jurisdiction_unknown",
        site=site(jurisdiction=""),
    ),
    case("All of it is no-go for the badgers.", "shut", "ground_all_no_go", site=site(no_go_share=1.0)),
    case(
        "We put the hedge back last winter, it is two fields now.",
        "shut",
        "site_retired",
        site=site(retired_on=DAY, successors=("TA1 Near Carr", "TA2 Far Carr")),
    ),
    case("I shall sell that corner next week.", "open", site=site(retired_on=DAY + timedelta(days=1))),
    case("Half of it is no-go for the badgers.", "open", site=site(no_go_share=0.5)),
    case(
        "On the map it came out near Paris.", "ask", "far_from_club", site=site(distance_from_club_km=450.0)
    ),
    case("It is an hour's drive.", "open", site=site(distance_from_club_km=60.0)),
    case(
        "It was drilled with rape on Tuesday, keep off.",
        "shut",
        "field_state",
        site=site(field_states=(STUBBLE, DRILLED)),
    ),
    case(
        "It was in barley last month, it is stubble now.",
        "open",
        site=site(field_states=(replace(DRILLED, on=date(2026, 7, 20)), STUBBLE)),
    ),
    case(
        "Drilled in September, so August was fine.",
        "open",
        site=site(field_states=(STUBBLE, replace(DRILLED, on=date(2026, 9, 10)))),
    ),
    case(
        "Ring me, the straw may still be out.",
        "ask",
        "field_state",
        site=site(field_states=(replace(STUBBLE, stage="straw in swath", effect=Answer.ASK),)),
    ),
    case(
        "One of us says stubble, the other says drilled, both on Thursday.",
        "shut",
        "field_state",
        site=site(field_states=(STUBBLE, replace(DRILLED, on=STUBBLE.on))),
    ),
    case("No one has told you what is in it.", "ask", "field_state_unknown", site=site(field_states=())),
    case(
        "Last I told you was in June.",
        "ask",
        "field_state_old",
        site=site(field_states=(replace(STUBBLE, on=date(2026, 6, 20)),)),
    ),
    case(
        "I told you sixty days before.",
        "open",
        site=site(field_states=(replace(STUBBLE, on=date(2026, 7, 1)),)),
    ),
    case("Ewes and lambs are in there.", "ask", "livestock", site=site(field_states=(EWES,))),
    case(
        "Ewes are in there, and the paper says never with stock.",
        "shut",
        "livestock",
        site=site(field_states=(EWES,)),
        permission=permission(terms=Terms(livestock=LivestockRule.NOT_WITH)),
    ),
    case(
        "Ewes are in there, they will not mind.",
        "open",
        site=site(field_states=(EWES,)),
        permission=permission(terms=Terms(livestock=LivestockRule.ALLOWED)),
    ),
    case(
        "I did not say whether there is stock in it.",
        "ask",
        "livestock",
        site=site(field_states=(replace(STUBBLE, livestock=None),)),
    ),
    case("We shoot that Sunday.", "shut", "closed_period", site=site(closed_periods=(SHOOT_DAY,))),
    case(
        "We shot the day before.",
        "open",
        site=site(closed_periods=(replace(SHOOT_DAY, starts=date(2026, 8, 29), ends=date(2026, 8, 29)),)),
    ),
    case(
        "No detecting in the pheasant season; it is October.",
        "shut",
        "closed_period",
        **on(date(2026, 10, 1), closed_periods=(PHEASANT,)),
    ),
    case(
        "No detecting in the pheasant season; it is Candlemas Eve.",
        "shut",
        "closed_period",
        **on(date(2027, 2, 1), closed_periods=(PHEASANT,), protected_checked_on=date(2026, 12, 1)),
        permission=permission(ends=None, consents=(replace(permission().consents[0], ends=None),)),
    ),
    case("The season ended yesterday.", "open", **on(date(2026, 2, 2), closed_periods=(PHEASANT,))),
    case(
        "Ask me first while the lapwings nest.",
        "ask",
        "closed_period",
        **on(
            date(2026, 3, 1),
            closed_periods=(
                ClosedPeriodFacts(
                    "closed:3",
                    "Ground-nesting birds",
                    "nesting",
                    date(2020, 3, 1),
                    date(2020, 7, 31),
                    True,
                    Answer.ASK,
                ),
            ),
        ),
    ),
    case(
        "The next farm claims a strip of it and has stopped you.",
        "shut",
        "overlap_paused",
        site=site(overlaps=(other(state=PermissionState.PAUSED),)),
    ),
    case(
        "The next farm claims a strip of it and said no once.",
        "ask",
        "overlap_refused",
        site=site(overlaps=(other(state=PermissionState.REFUSED),)),
    ),
    case(
        "The next farm claims a strip of it, Saturdays only.",
        "shut",
        "weekday",
        "overlap_terms",
        site=site(overlaps=(other(terms=Terms(weekdays=frozenset({5}))),)),
    ),
    case(
        "The next farm claims a strip of it, Sundays only.",
        "open",
        "overlap_terms",
        site=site(overlaps=(other(terms=Terms(weekdays=frozenset({6}))),)),
    ),
    case("The next farm claims a strip of it, on the same terms.", "open", site=site(overlaps=(other(),))),
    case(
        "The next farm's old paper had run out.",
        "open",
        site=site(overlaps=(other(terms=Terms(weekdays=frozenset({5})), ends=date(2026, 7, 1)),)),
    ),
)
