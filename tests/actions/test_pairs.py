"""Pairs that may be one find: suggested when a find changes, decided once, kept with reasons, asked about."""

from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import translation
from django.utils.timezone import now

from finds.actions import (
    PairError,
    answer_pair,
    ask_finder,
    change_find,
    decide_apart,
    decide_same,
    make_group,
    propose_pair,
    record_find,
    take_out,
    withdraw_find,
)
from finds.actions.suggest import MOST_EACH, columns_of
from finds.circumstances import answers_from
from finds.models import Case, Find, PairEvent, PairSuggestion
from finds.pair_facts import pair_facts
from finds.pair_reasons import reason_words
from finds.states import PairState
from people.models import AuditEntry, User
from tests import make

pytestmark = pytest.mark.django_db

LAT_M = 1 / 111_300  # degrees of latitude in a metre, near enough for tests


@pytest.fixture
def hunt(member: User, leader: User):
    make.club()
    hunt = make.hunt(leader=leader, state="running", starts_at="00:00", ends_at="23:59")
    make.attendance(hunt, member)
    return hunt


def penny(hunt, by: User, *, north_m: float = 0.0, **fields: Any) -> Find:
    """A silver penny struck between 1205 and 1247, `north_m` metres north of one spot, known to 4 m."""
    values = {
        "finder": by,
        "site": hunt.sites.all()[0],
        "found_at": now(),
        "object_type": "penny",
        "is_coin": "yes",
        "year_from": 1205,
        "year_to": 1247,
        "lon": 0.1512,
        "lat": 53.6007 + north_m * LAT_M,
        "accuracy_m": 4.0,
        "facts": answers_from(["none"]),
    } | fields
    return record_find(
        hunt.pk, by=by, at=now(), client_id=uuid4(), materials={"silver": Decimal(92)}, **values
    )


def pair_of(*finds: Find) -> PairSuggestion:
    first, second = sorted(finds, key=lambda find: find.pk)
    return PairSuggestion.objects.get(first=first, second=second)


def waiting() -> list[set[str]]:
    return [{pair.first.number, pair.second.number} for pair in PairSuggestion.objects.to_look_at()]


def change(find: Find, by: User, **fields: Any) -> Find:
    return change_find(find.pk, by=by, at=now(), materials={"silver": Decimal(92)}, **fields)


@pytest.fixture
def pair(hunt, member: User) -> PairSuggestion:
    return pair_of(penny(hunt, member), penny(hunt, member, north_m=3))


def test_a_find_near_one_of_its_kind_is_suggested_with_the_distance_and_its_reasons(
    pair: PairSuggestion,
) -> None:
    assert pair.distance_m == pytest.approx(3.0, abs=0.02)
    assert pair.reach_m == pytest.approx(5.657, abs=0.001)
    assert "Both are recorded as “penny”." in [reason_words(reason) for reason in pair.reasons]
    assert pair.state == PairState.OPEN


def test_farther_than_both_accuracies_together_is_no_pair(hunt, member: User) -> None:
    penny(hunt, member)
    penny(hunt, member, north_m=6)
    assert waiting() == []
    penny(hunt, member, north_m=9, accuracy_m=9.0)  # 9 m and 4 m reach 9.8 m, and 6 m is nearer still
    assert len(waiting()) == 2


def test_a_changed_find_takes_its_pairs_along(hunt, member: User, pair: PairSuggestion) -> None:
    change(pair.second, member, lat=53.6007 + 40 * LAT_M, lon=0.1512)
    assert waiting() == []
    change(pair.second, member, lat=53.6007 + 2 * LAT_M, lon=0.1512)
    assert len(waiting()) == 1
    pair.refresh_from_db()
    assert pair.distance_m == pytest.approx(2.0, abs=0.02)


def test_a_withdrawn_find_has_no_pairs(member: User, pair: PairSuggestion) -> None:
    withdraw_find(pair.second_id, by=member, at=now(), why="typed twice")
    assert waiting() == []


def test_the_same_find_makes_a_group_with_the_reasons_and_opens_their_case(
    pair: PairSuggestion, committee: User
) -> None:
    # Treasure Act 1996 s.1(1)(a)(ii): two coins of the same find, each at least 300 years old, at least 10 % precious.
    assert Case.objects.count() == 0
    group = decide_same(pair.pk, by=committee, at=now(), words="touching, in one clod")
    assert group.reasons == "touching, in one clod"
    assert set(Case.objects.get().finds.all()) == {pair.first, pair.second}
    assert all(find.locked for find in group.finds.all())
    assert waiting() == []
    assert AuditEntry.objects.filter(verb="pair.same", by=committee).exists()


def test_a_find_that_is_grouped_brings_its_group(
    hunt, member: User, committee: User, pair: PairSuggestion
) -> None:
    group = decide_same(pair.pk, by=committee, at=now(), words="in one clod")
    third = penny(hunt, member, north_m=1)
    new = PairSuggestion.objects.to_look_at().get()
    assert decide_same(new.pk, by=committee, at=now(), words="beside them") == group
    third.refresh_from_db()
    assert (third.group, group.finds.count(), third.locked) == (group, 3, True)


def test_a_group_nearby_is_one_suggestion_and_a_crowd_is_bounded(hunt, member: User, committee: User) -> None:
    finds = [penny(hunt, member) for _ in range(MOST_EACH + 4)]
    last = penny(hunt, member)
    assert PairSuggestion.objects.filter(second=last).count() == MOST_EACH
    make_group([f.number for f in finds], by=committee, at=now(), reasons="one pot", client_id=uuid4())
    late = penny(hunt, member)
    assert PairSuggestion.objects.to_look_at().filter(second=late).count() == 2  # the group, and the last one


def test_not_the_same_find_is_kept_and_not_suggested_again(
    member: User, committee: User, pair: PairSuggestion
) -> None:
    decide_apart(pair.pk, by=committee, at=now(), words="a drain lies between them")
    change(pair.first, member, description="cleaned with water")
    assert waiting() == []
    assert PairEvent.objects.get(pair=pair).words == "a drain lies between them"


def test_new_facts_of_either_bring_it_back_with_what_was_said(
    member: User, committee: User, pair: PairSuggestion
) -> None:
    decide_apart(pair.pk, by=committee, at=now(), words="a drain lies between them")
    change(pair.second, member, year_from=1210)
    assert len(waiting()) == 1
    assert [event.verb for event in pair.events.all()] == ["apart", "again"]


def test_the_second_of_two_deciders_is_told_who_was_quicker(pair: PairSuggestion, committee: User) -> None:
    decide_apart(pair.pk, by=committee, at=now(), words="too far apart")
    for decide in (decide_same, decide_apart, ask_finder):
        with pytest.raises(PairError, match=f"already by {committee.name}.*not the same find"):
            decide(pair.pk, by=committee, at=now(), words="touching")
    assert pair.events.count() == 1


def test_what_was_read_before_a_change_is_not_decided_about(
    member: User, committee: User, pair: PairSuggestion
) -> None:
    seen = pair.facts_digest
    change(pair.first, member, year_from=1216)
    with pytest.raises(PairError, match="changed while you were reading"):
        decide_same(pair.pk, by=committee, at=now(), words="touching", seen=seen)


@pytest.mark.parametrize("decide", [decide_same, decide_apart, ask_finder])
def test_only_the_committee_decides(decide, pair: PairSuggestion, member: User, secretary: User) -> None:
    for person in (member, secretary):
        with pytest.raises(PermissionDenied):
            decide(pair.pk, by=person, at=now(), words="x")
    assert pair.events.count() == 0


def test_a_finder_who_is_asked_answers_and_the_pair_is_the_committees_again(
    pair: PairSuggestion, member: User, committee: User, leader: User
) -> None:
    ask_finder(pair.pk, by=committee, at=now(), words="how far apart?")
    assert list(PairSuggestion.objects.asked_of(member)) == [pair]
    assert list(PairSuggestion.objects.asked_of(leader)) == []
    with pytest.raises(PermissionDenied, match="found one of the two"):
        answer_pair(pair.pk, by=leader, at=now(), words="x")
    answer_pair(pair.pk, by=member, at=now(), words="a hand's breadth")
    pair.refresh_from_db()
    assert (pair.state, list(PairSuggestion.objects.asked_of(member))) == (PairState.OPEN, [])
    assert [event.words for event in pair.events.all()] == ["how far apart?", "a hand's breadth"]


def test_two_finders_are_both_waited_for(hunt, member: User, leader: User, committee: User) -> None:
    pair = pair_of(penny(hunt, member), penny(hunt, leader, north_m=2))
    ask_finder(pair.pk, by=committee, at=now(), words="in which order?")
    answer_pair(pair.pk, by=member, at=now(), words="mine first")
    pair.refresh_from_db()
    assert pair.state == PairState.ASKED
    assert list(PairSuggestion.objects.asked_of(leader)) == [pair]
    assert list(PairSuggestion.objects.asked_of(member)) == []
    answer_pair(pair.pk, by=leader, at=now(), words="so it was")
    pair.refresh_from_db()
    assert pair.state == PairState.OPEN


def test_an_answer_after_the_decision_is_refused_kindly(
    pair: PairSuggestion, member: User, committee: User
) -> None:
    ask_finder(pair.pk, by=committee, at=now(), words="how far apart?")
    decide_apart(pair.pk, by=committee, at=now(), words="seen on the photograph")
    with pytest.raises(PairError, match="not waiting"):
        answer_pair(pair.pk, by=member, at=now(), words="a hand's breadth")


def test_a_finder_proposes_in_their_words_and_no_group_is_made(hunt, member: User) -> None:
    one, far = penny(hunt, member), penny(hunt, member, north_m=30)
    pair = propose_pair(one.pk, far.number, by=member, at=now(), words="the same plough line")
    assert waiting() == [{one.number, far.number}]
    assert reason_words(pair.reasons[0]).startswith("Mo Samphire, who found both, thinks")
    assert pair.events.get().words == "the same plough line"
    one.refresh_from_db()
    assert one.group is None


def test_a_proposal_stays_when_the_places_change(hunt, member: User) -> None:
    one, far = penny(hunt, member), penny(hunt, member, north_m=30)
    propose_pair(one.pk, far.number, by=member, at=now(), words="the same plough line")
    change(far, member, lat=53.6007 + 45 * LAT_M, lon=0.1512)
    assert waiting() == [{one.number, far.number}]
    assert reason_words(pair_of(one, far).reasons[0]).startswith("Mo Samphire")


def test_somebody_elses_find_is_answered_like_one_that_is_not_there(hunt, member: User, leader: User) -> None:
    one, theirs = penny(hunt, member), penny(hunt, leader, north_m=40)
    said = []
    for number in (theirs.number, "F1999-0001", one.number):
        with pytest.raises(PairError) as refused:
            propose_pair(one.pk, number, by=member, at=now(), words="x")
        said.append(str(refused.value).replace(number, "N"))
    assert len(set(said)) == 1
    with pytest.raises(PermissionDenied):
        propose_pair(theirs.pk, one.number, by=member, at=now(), words="x")


def test_a_proposal_opens_again_what_was_judged_apart(
    pair: PairSuggestion, member: User, committee: User
) -> None:
    decide_apart(pair.pk, by=committee, at=now(), words="too far apart")
    propose_pair(pair.first_id, pair.second.number, by=member, at=now(), words="the photograph shows both")
    assert len(waiting()) == 1


def test_a_find_taken_out_of_its_group_is_not_suggested_again(pair: PairSuggestion, committee: User) -> None:
    group = decide_same(pair.pk, by=committee, at=now(), words="touching")
    take_out(group.pk, pair.second_id, by=committee, at=now(), words="it fell from another bag")
    pair.refresh_from_db()
    assert (pair.state, waiting()) == (PairState.APART, [])
    assert pair.events.last().words == "it fell from another bag"


@pytest.mark.once
def test_recording_asks_as_often_in_a_crowd_as_beside_one(hunt, member: User) -> None:
    costs = []
    penny(hunt, member)
    for crowd in (1, 30):
        for _ in range(crowd):
            penny(hunt, member, north_m=0.5)
        with CaptureQueriesContext(connection) as queries:
            penny(hunt, member)
        costs.append(len(queries))
    assert costs[0] == costs[1]


def test_the_command_finds_what_was_recorded_before_suggestions_were_kept(hunt, member: User, capsys) -> None:
    dated = {"object_type": "penny", "is_coin": "yes", "year_from": 1205, "year_to": 1247, "accuracy_m": 4.0}
    one = make.find(hunt, member, **dated)
    two = make.find(hunt, member, **dated, found_at=now() - timedelta(minutes=5))
    make.find(hunt, member, **dated, lat=53.6017)
    call_command("suggest_pairs")
    assert waiting() == [{one.number, two.number}]
    call_command("suggest_pairs")
    assert PairSuggestion.objects.count() == 1
    assert "2 finds lie within reach" in capsys.readouterr().out


def test_what_is_kept_of_a_pair_does_not_depend_on_who_recorded_it(hunt: Any, member: User) -> None:
    """Kept in the finder's language, a pair judged apart came back when somebody else changed the find."""
    lead = [make.find(hunt, member, object_type="musket ball", lon=0.1512, lat=53.6007) for _rest in range(2)]
    for find in lead:
        find.materials.create(material="lead")
    columns = []
    for language in ("en-gb", "nl"):
        with translation.override(language):
            columns.append(columns_of(*(pair_facts(find) for find in lead)))
    assert columns[0] == columns[1]
    with translation.override("nl"):
        said = [reason_words(reason) for reason in columns[0]["reasons"]]
    assert "Beide zijn van lood of loodlegering." in said
    assert "Both" not in " ".join(said)
    assert reason_words({"words": "Near.", "points": 3}) == "Near.", "of an older version"
