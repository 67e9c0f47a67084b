"""Random but plausible facts for the gate: every key is unique, every date lies within three years."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from hypothesis import strategies as st

from permissions.gate import (
    Answer,
    Capacity,
    ClosedPeriodFacts,
    ConsentFacts,
    Cover,
    FieldStateFacts,
    LicenceFacts,
    NoticeFacts,
    OverlapFacts,
    PartyFacts,
    Period,
    PermissionFacts,
    PermissionState,
    PersonFacts,
    ProtectedFacts,
    Relation,
    SiteFacts,
    Tenure,
    Terms,
    VisitFacts,
)
from permissions.terms import DogRule, LivestockRule, WhoMay

FIRST = date(2025, 7, 1)
dates = st.integers(0, 3 * 365).map(lambda n: FIRST + timedelta(days=n))
maybe = st.one_of(st.none(), dates)
landholders = st.sampled_from([f"landholder:{n}" for n in range(1, 4)])
times = st.sampled_from([time(8), time(9), time(12, 30), time(16), time(17)])
moments = st.builds(datetime.combine, dates, times)
OWNER = PartyFacts("landholder:1", "Ada Holm", Capacity.OWNER, "party:base")
CONSENT = ConsentFacts("consent:base", "landholder:1", Capacity.OWNER, date(2025, 1, 1))
PERMITTED = PermissionFacts(
    "permission:1", PermissionState.GRANTED, "the first permission", consents=(CONSENT,)
)
effects = st.sampled_from([Answer.ASK, Answer.SHUT])


def weighted(usual, strategy):
    """Mostly the usual value, so that open gates are drawn often enough to be worth testing."""
    return st.one_of(st.just(usual), st.just(usual), strategy)


def keyed(kind, build, most=3):
    """One to `most` facts, each with its own key."""
    drawn = st.lists(build, min_size=1, max_size=most)
    return drawn.map(lambda makes: tuple(make(f"{kind}:{n}") for n, make in enumerate(makes)))


def made(cls, **parts):
    """A strategy of functions from a key to `cls`."""
    return st.fixed_dictionaries(parts).map(lambda given: lambda key: cls(key=key, **given))


periods = keyed("period", made(Period, starts=maybe, ends=maybe), 2)
covers = keyed(
    "cover", made(Cover, starts=maybe, ends=maybe, amount=st.sampled_from([None, Decimal(5), Decimal(10)])), 2
)
terms = st.builds(
    Terms,
    weekdays=weighted(None, st.frozensets(st.integers(0, 6))),
    hours_from=weighted(None, times),
    hours_to=weighted(None, times),
    max_heads=weighted(None, st.integers(0, 4)),
    who=weighted(WhoMay.ANY_MEMBER, st.sampled_from(WhoMay)),
    guests=weighted(True, st.booleans()),
    juniors=weighted(True, st.booleans()),
    minimum_age=weighted(None, st.integers(8, 20)),
    notice_hours=weighted(None, st.integers(0, 80)),
    notice_to=weighted(frozenset({Capacity.OWNER}), st.frozensets(st.sampled_from(Capacity))),
    max_vehicles=weighted(None, st.integers(0, 3)),
    livestock=st.sampled_from(LivestockRule),
    dogs=st.sampled_from(DogRule),
    insurance_floor=weighted(None, st.sampled_from([Decimal(0), Decimal(5), Decimal(10)])),
)
consents = keyed(
    "consent",
    made(
        ConsentFacts,
        landholder=landholders,
        capacity=st.sampled_from([Capacity.OWNER, Capacity.OWNER, Capacity.OCCUPIER, Capacity.AGENT]),
        given_on=weighted(FIRST, maybe),
        starts=weighted(None, maybe),
        ends=weighted(None, maybe),
        sites=weighted(None, st.sampled_from([frozenset({"site:1"}), frozenset({"site:2"})])),
        evidence=weighted(True, st.booleans()),
        withdrawn_on=weighted(None, maybe),
    ),
    5,
)
PERMISSION = {
    "state": weighted(PermissionState.GRANTED, st.sampled_from(PermissionState)),
    "starts": weighted(None, maybe),
    "ends": weighted(None, maybe),
    "consents": consents.map(lambda drawn: (CONSENT, *drawn)) | consents,
    "terms": terms,
}
parties = keyed(
    "party",
    made(
        PartyFacts,
        landholder=landholders,
        name=st.sampled_from(["Ada Holm", "Bert Storr"]),
        capacity=st.sampled_from([Capacity.OWNER, Capacity.OWNER, *Capacity]),
        acts_for=st.one_of(st.none(), landholders),
        has_authority=st.booleans(),
        since=weighted(None, maybe),
        until=weighted(None, maybe),
    ),
)
states = keyed(
    "state",
    made(
        FieldStateFacts,
        on=dates,
        crop=st.just("wheat"),
        stage=st.just("stubble"),
        effect=weighted(Answer.OPEN, effects),
        livestock=weighted("", st.sampled_from([None, "ewes"])),
    ),
)
closed = keyed(
    "closed",
    made(
        ClosedPeriodFacts,
        reason=st.just("Shooting"),
        kind=st.just("season"),
        starts=st.one_of(dates, st.just(date(2024, 2, 29))),
        ends=st.one_of(dates, st.just(date(2024, 2, 29))),
        yearly=st.booleans(),
        effect=effects,
    ),
    2,
)
protected = keyed(
    "protected",
    made(
        ProtectedFacts,
        name=st.just("Howe Mound"),
        kind=st.just("scheduled monument"),
        relation=st.sampled_from(Relation),
        lifted_by=st.just(()) | periods,
    ),
    1,
)
licences = keyed(
    "licence",
    made(
        LicenceFacts, code=st.just("x"), words=st.just("A licence is needed"), lifted_by=st.just(()) | periods
    ),
    1,
)
SITE = {
    "jurisdiction": st.just(""),
    "tenure": st.sampled_from(Tenure),
    "parties": parties.map(lambda drawn: (OWNER, *drawn)) | parties,
    "no_go_share": st.sampled_from([0.4, 1.0]),
    "protected": protected,
    "protected_checked_on": maybe,
    "field_states": states,
    "closed_periods": closed,
    "licences": licences,
    "overlaps": st.builds(
        lambda t, state: (OverlapFacts(replace(PERMITTED, key="permission:2", terms=t, state=state)),),
        terms,
        weighted(PermissionState.GRANTED, st.sampled_from(PermissionState)),
    ),
    "retired_on": dates,
    "distance_from_club_km": st.sampled_from([100.0, 301.0]),
}
people = keyed(
    "person",
    made(
        PersonFacts,
        name=st.just("Gus Monkwith"),
        memberships=weighted((Period(),), periods),
        insurance=weighted((Cover(amount=Decimal(10)),), covers),
        is_guest=st.booleans(),
        is_junior=weighted(False, st.booleans()),
        age=st.one_of(st.none(), st.integers(5, 90)),
        named_in=st.sampled_from([frozenset(), frozenset({"permission:1", "permission:2"})]),
    ),
)
VISIT = {
    "starts_at": times,
    "ends_at": times,
    "heads": st.integers(0, 5),
    "people": people,
    "vehicles": st.integers(0, 4),
    "dogs": st.sampled_from([None, True]),
    "decided_at": st.none() | moments,
    "notices": st.lists(st.builds(NoticeFacts, landholders, moments, st.booleans()), max_size=3).map(tuple),
}
NAMES = [(kind, name) for kind, table in enumerate((SITE, PERMISSION, VISIT)) for name in table]


@st.composite
def questions(draw):
    """Site, permission and visit: an open case in which up to seven facts differ; every answer is drawn."""
    on = draw(dates)
    yesterday = on - timedelta(days=1)
    stubble = FieldStateFacts("state:base", yesterday, "wheat", "stubble", Answer.OPEN)
    facts = [
        SiteFacts(
            "site:1", "Ten Acre", "england", Tenure.OWNER_OCCUPIED, (OWNER,), 0.0, (), yesterday, (stubble,)
        ),
        PERMITTED,
        VisitFacts(on, planned=draw(st.booleans()), decided_at=datetime.combine(yesterday, time(9))),
    ]
    for kind, name in sorted(draw(st.sets(st.sampled_from(NAMES), max_size=7))):
        facts[kind] = replace(facts[kind], **{name: draw((SITE, PERMISSION, VISIT)[kind][name])})
    return tuple(facts)
