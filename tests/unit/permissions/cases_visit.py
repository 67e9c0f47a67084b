"""Worked cases: the visit and the people against the terms. Rules: facts/trade.md 1.2, 1.3, 2.1 and 2.3."""

from dataclasses import replace
from datetime import date, datetime, time
from decimal import Decimal

from permissions.gate import Capacity, Cover, NoticeFacts, Period, Tenure, Terms
from permissions.terms import DogRule, WhoMay
from tests.unit.permissions.make import (
    AGENT,
    COVER,
    OCCUPIER,
    OWNER,
    SHOOT,
    YEAR,
    case,
    consent,
    permission,
    person,
    site,
    visit,
)


def under(**terms):
    return permission(terms=Terms(**terms))


def told(landholder, *moment, waived=False):
    return NoticeFacts(landholder, datetime(*moment), waived)


HOURS = under(hours_from=time(9), hours_to=time(16))
TEN = under(max_heads=10)
TWO_DAYS = under(notice_hours=48)
START = {"starts_at": time(9), "ends_at": time(16)}
TOLD_SHOOT = (told("landholder:4", 2026, 8, 21, 9),)
TEN_MILLION = under(insurance_floor=Decimal(10_000_000))
LAPSED = Period(date(2025, 1, 1), date(2025, 12, 31))
SMALL = replace(COVER, amount=Decimal(5_000_000))

CASES = (
    case("Weekends only.", "open", permission=under(weekdays=frozenset({5, 6}))),
    case("Weekdays only.", "shut", "weekday", permission=under(weekdays=frozenset(range(5)))),
    case("Nine till four, and that is when they come.", "open", permission=HOURS, visit=visit(**START)),
    case(
        "Nine till four; they mean to start at half past eight.",
        "shut",
        "hours",
        permission=HOURS,
        visit=visit(starts_at=time(8, 30), ends_at=time(16)),
    ),
    case(
        "Nine till four; they mean to stay till five.",
        "shut",
        "hours",
        permission=HOURS,
        visit=visit(starts_at=time(9), ends_at=time(17)),
    ),
    case("Nine till four; when they come they have not said.", "ask", "hours_unknown", permission=HOURS),
    case(
        "They say from three till ten in the morning.",
        "ask",
        "hours_unknown",
        permission=HOURS,
        visit=visit(starts_at=time(15), ends_at=time(10)),
    ),
    case("Ten at most, and ten come.", "open", permission=TEN, visit=visit(heads=10)),
    case("Ten at most, and eleven come.", "shut", "heads_over", permission=TEN, visit=visit(heads=11)),
    case("Ten at most; how many come I was not told.", "ask", "heads_unknown", permission=TEN),
    case(
        "Ten at most; they say ten, but eleven names are down.",
        "shut",
        "heads_over",
        permission=TEN,
        visit=visit(heads=10, people=tuple(person(n) for n in range(11))),
    ),
    case(
        "Just looking at the calendar: ten at most, nine till four, two days' notice.",
        "open",
        permission=under(max_heads=10, hours_from=time(9), notice_hours=48),
        visit=visit(planned=False),
    ),
    case(
        "Two days' notice; they rang on Wednesday.",
        "open",
        permission=TWO_DAYS,
        visit=visit(notices=(told("landholder:1", 2026, 8, 26, 9),), **START),
    ),
    case(
        "Two days' notice to the minute.",
        "open",
        permission=TWO_DAYS,
        visit=visit(notices=(told("landholder:1", 2026, 8, 28, 9),), **START),
    ),
    case(
        "Two days' notice; they rang on Saturday.",
        "shut",
        "notice_short",
        permission=TWO_DAYS,
        visit=visit(notices=(told("landholder:1", 2026, 8, 29, 9),), **START),
    ),
    case(
        "They rang on Saturday, and I said never mind.",
        "open",
        permission=TWO_DAYS,
        visit=visit(notices=(told("landholder:1", 2026, 8, 29, 9, waived=True),), **START),
    ),
    case(
        "Two days' notice; it is ten days off and they have not rung.",
        "ask",
        "notice_due",
        permission=TWO_DAYS,
    ),
    case(
        "Two days' notice; it is tomorrow and they have not rung.",
        "shut",
        "notice_short",
        permission=TWO_DAYS,
        visit=visit(decided_at=datetime(2026, 8, 29, 9)),
    ),
    case(
        "Two days' notice; nobody knows today's date.",
        "ask",
        "notice_due",
        permission=TWO_DAYS,
        visit=visit(decided_at=None),
    ),
    case(
        "They told my agent on Wednesday, that will do.",
        "open",
        permission=TWO_DAYS,
        site=site(parties=(OWNER, AGENT)),
        visit=visit(notices=(told("landholder:3", 2026, 8, 26, 9),)),
    ),
    case(
        "They told the owner, not me, and I farm it.",
        "ask",
        "notice_due",
        site=site(tenure=Tenure.LET, parties=(OWNER, OCCUPIER)),
        permission=permission(consents=(consent(), consent(2, OCCUPIER)), terms=Terms(notice_hours=48)),
        visit=visit(notices=(told("landholder:1", 2026, 8, 20, 9),)),
    ),
    case(
        "Ring the tenant, no need to ring me.",
        "open",
        site=site(tenure=Tenure.LET, parties=(OWNER, OCCUPIER)),
        permission=permission(
            consents=(consent(), consent(2, OCCUPIER)),
            terms=Terms(notice_hours=48, notice_to=frozenset({Capacity.OCCUPIER})),
        ),
        visit=visit(notices=(told("landholder:2", 2026, 8, 20, 9),)),
    ),
    case("I have the shooting; nobody told me.", "ask", "inform_due", site=site(parties=(OWNER, SHOOT))),
    case(
        "I have the shooting, and they told me the night before.",
        "ask",
        "inform_due",
        site=site(parties=(OWNER, SHOOT)),
        visit=visit(notices=(told("landholder:4", 2026, 8, 29, 20),), **START),
    ),
    case(
        "I have the shooting; they told me the night before, and I do not mind.",
        "open",
        site=site(parties=(OWNER, SHOOT)),
        visit=visit(notices=(told("landholder:4", 2026, 8, 29, 20, waived=True),), **START),
    ),
    case(
        "I have the shooting, and they told me.",
        "open",
        site=site(parties=(OWNER, SHOOT)),
        visit=visit(notices=TOLD_SHOOT),
    ),
    case(
        "Two cars in the yard, and two come.",
        "open",
        permission=under(max_vehicles=2),
        visit=visit(vehicles=2),
    ),
    case(
        "Two cars in the yard, and five come.",
        "shut",
        "vehicles_over",
        permission=under(max_vehicles=2),
        visit=visit(vehicles=5),
    ),
    case(
        "No cars at all; how they come I do not know.",
        "ask",
        "vehicles_unknown",
        permission=under(max_vehicles=0),
    ),
    case("No dogs, and one of them brings a spaniel.", "shut", "dogs", visit=visit(dogs=True)),
    case("No dogs; would they bring one?", "ask", "dogs_unknown", visit=visit(dogs=None)),
    case("A dog on a lead is fine.", "open", permission=under(dogs=DogRule.ON_LEAD), visit=visit(dogs=True)),
    case("Everybody on the list is paid up and covered.", "open", visit=visit(people=(person(1), person(2)))),
    case(
        "One of them let his membership run out.",
        "shut",
        "membership",
        visit=visit(people=(person(1), person(2, memberships=(LAPSED,)))),
    ),
    case(
        "One of them is covered only until March.",
        "shut",
        "insurance",
        visit=visit(people=(person(1, insurance=(Cover(date(2025, 4, 1), date(2026, 3, 31)),)),)),
    ),
    case(
        "One of them showed no card at all.",
        "shut",
        "insurance",
        visit=visit(people=(person(1, insurance=()),)),
    ),
    case(
        "A guest is no member, but he has a card.",
        "open",
        visit=visit(people=(person(1, is_guest=True, memberships=()),)),
    ),
    case(
        "No guests.",
        "shut",
        "guest",
        permission=under(guests=False),
        visit=visit(people=(person(1, is_guest=True),)),
    ),
    case(
        "No youngsters.",
        "shut",
        "junior",
        permission=under(juniors=False),
        visit=visit(people=(person(1), person(2, is_junior=True))),
    ),
    case("His lad comes with him.", "open", visit=visit(people=(person(1), person(2, is_junior=True)))),
    case("The lad comes alone.", "ask", "junior_alone", visit=visit(people=(person(2, is_junior=True),))),
    case(
        "Twelve and over; she is eleven.",
        "shut",
        "too_young",
        permission=under(minimum_age=12),
        visit=visit(people=(person(1), person(2, is_junior=True, age=11))),
    ),
    case(
        "Twelve and over; how old is she?",
        "ask",
        "age_unknown",
        permission=under(minimum_age=12),
        visit=visit(people=(person(1), person(2, is_junior=True))),
    ),
    case(
        "Covered for ten million, like it says.",
        "open",
        permission=TEN_MILLION,
        visit=visit(people=(person(),)),
    ),
    case(
        "Covered for five million; I asked for ten.",
        "shut",
        "insurance_low",
        permission=TEN_MILLION,
        visit=visit(people=(person(insurance=(SMALL,)),)),
    ),
    case(
        "He has a card, the amount is smudged.",
        "ask",
        "insurance_unknown",
        permission=TEN_MILLION,
        visit=visit(people=(person(insurance=(replace(COVER, amount=None),)),)),
    ),
    case(
        "Only the four on my list.",
        "shut",
        "not_named",
        permission=under(who=WhoMay.NAMED_ONLY),
        visit=visit(people=(person(),)),
    ),
    case(
        "Only the four on my list, and he is on it.",
        "open",
        permission=under(who=WhoMay.NAMED_ONLY),
        visit=visit(people=(person(named_in=frozenset({"permission:1"})),)),
    ),
    case(
        "Only the four on my list; who comes?",
        "ask",
        "names_unknown",
        permission=under(who=WhoMay.NAMED_ONLY),
    ),
    case(
        "Too many of them, on a Sunday, with a dog, and one not covered.",
        "shut",
        "weekday",
        "heads_over",
        "dogs",
        "insurance",
        permission=under(weekdays=frozenset({2}), max_heads=1),
        visit=visit(heads=2, dogs=True, people=(person(1, insurance=(), memberships=(YEAR,)),)),
    ),
)
