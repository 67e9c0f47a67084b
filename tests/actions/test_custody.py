"""Hand-overs: the acceptance of the receiver moves an object and nothing else does; losses, boxes and questions."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import now

from finds import actions
from finds.actions import BoxError, CustodyError, NotTheHolderError, OutdatedError
from finds.actions.custody import first_holder
from finds.hand_over_text import digest_of, items_of, text_of
from finds.models import Box, CustodyEntry, Find, HandOver
from finds.models.hand_over import Side
from finds.states import HandOverState, ItemState
from people.models import AuditEntry, User
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def finds(member: User) -> list[Find]:
    make.club()
    hunt = make.hunt()
    made = [make.find(hunt, member) for _ in range(3)]
    for find in made:
        first_holder(find, by=member, at=now())
    return made


def proposed(finds: list[Find], by: User, **fields: Any) -> HandOver:
    said: dict[str, Any] = {"to_holder": "officer", "to_name": "Ida Drift", "purpose": "recording"}
    said |= {"capacity": "finder", "client_id": uuid4()} | fields
    return actions.propose_hand_over([find.pk for find in finds], by=by, at=now(), **said)


def signed(row: HandOver, side: str = Side.RECEIVER, by: User | None = None, **fields: Any) -> Any:
    said = {"client_id": uuid4(), "name": "Ida Drift", "drawn": [], "via": "custody link", "by": by}
    said |= {"read_sha256": digest_of(text_of(row, items_of(row), side))} | fields
    return actions.sign_hand_over(row.pk, side, at=now(), **said)


def holder(find: Find) -> tuple[str, str, int]:
    last = find.custody.order_by("-step")[0]
    return last.to_holder, last.to_name, last.step


def test_a_proposal_moves_nothing(finds, secretary: User) -> None:
    proposed(finds, secretary)
    assert {holder(find) for find in finds} == {("finder", "Mo Samphire", 1)}


def test_the_receivers_signature_moves_all_and_keeps_name_time_and_text(finds, secretary: User) -> None:
    row = proposed(finds, secretary, due_back=make.days(60), conditions={finds[0].pk: "bent"})
    signature = signed(row)
    row.refresh_from_db()
    assert row.state == HandOverState.ACCEPTED
    assert {holder(find) for find in finds} == {("officer", "Ida Drift", 2)}
    entry = finds[0].custody.get(step=2)
    assert (entry.from_name, entry.condition, entry.due_back) == ("Mo Samphire", "bent", make.days(60))
    assert entry.signature["sha256"] == signature.text_sha256 == digest_of(signature.text)
    assert f"{finds[0].number} button: bent" in signature.text


def test_the_givers_signature_moves_nothing(finds, secretary: User) -> None:
    row = proposed(finds, secretary)
    signed(row, Side.GIVER, by=secretary, via="")
    assert holder(finds[0])[0] == "finder"
    assert row.signatures.count() == 1


def test_signing_twice_is_once(finds, secretary: User) -> None:
    row = proposed(finds, secretary)
    first, second = signed(row), signed(row, read_sha256="0" * 64)
    assert first.pk == second.pk
    assert CustodyEntry.objects.filter(step=2).count() == 3


def test_an_outdated_text_is_not_signed(finds, secretary: User) -> None:
    row = proposed(finds, secretary)
    read = digest_of(text_of(row, items_of(row), Side.RECEIVER))
    Find.objects.filter(pk=finds[0].pk).update(object_type="brooch")
    with pytest.raises(OutdatedError, match="Read it again"):
        signed(row, read_sha256=read)
    assert holder(finds[0])[0] == "finder"


def test_proposing_twice_with_one_key_is_once(finds, secretary: User) -> None:
    key = uuid4()
    assert proposed(finds, secretary, client_id=key) == proposed(finds, secretary, client_id=key)
    assert HandOver.objects.count() == 1


def test_a_batch_from_two_holders_is_refused_and_names_who_has_what(finds, secretary: User) -> None:
    move = {"after_step": 1, "to_holder": "museum", "to_name": "Ravensand Museum", "purpose": "display"}
    actions.hand_over(finds[1].pk, by=secretary, at=now(), **move)
    with pytest.raises(NotTheHolderError, match=rf"{finds[1].number} is with Ravensand Museum \(museum\)"):
        proposed(finds, secretary)
    assert not HandOver.objects.exists()


def test_an_object_waits_in_one_hand_over_at_most(finds, secretary: User) -> None:
    row = proposed(finds[:1], secretary)
    with pytest.raises(CustodyError, match=f"{finds[0].number} waits in {row.number}"):
        proposed(finds, secretary)


def test_what_moved_meanwhile_is_taken_out_and_the_rest_goes(finds, secretary: User) -> None:
    row = proposed(finds, secretary)
    read = digest_of(text_of(row, items_of(row), Side.RECEIVER))
    move = {"after_step": 1, "to_holder": "club", "to_name": "Finds cabinet", "purpose": "photograph"}
    actions.hand_over(finds[0].pk, by=secretary, at=now(), **move)
    with pytest.raises(OutdatedError):
        signed(row, read_sha256=read)
    signed(row)
    assert [holder(find)[0] for find in finds] == ["club", "officer", "officer"]
    assert row.items.get(find=finds[0]).state == ItemState.OUT


def test_a_hand_over_left_without_objects_is_cancelled(finds, secretary: User) -> None:
    row = proposed(finds[:1], secretary)
    actions.withdraw_find(finds[0].pk, by=secretary, at=now(), why="written twice")
    row.refresh_from_db()
    assert (row.state, row.ended_why) == (HandOverState.CANCELLED, "The record was withdrawn: written twice")
    with pytest.raises(CustodyError, match="was cancelled"):
        signed(row)


def test_what_was_not_received_stays_and_asks_until_it_is_answered(finds, secretary: User) -> None:
    row = proposed(finds, secretary)
    lacks = row.items.get(find=finds[2])
    signed(row, missing={lacks.pk: "not in the bag"})
    assert [holder(find)[0] for find in finds] == ["officer", "officer", "finder"]
    assert row.items.asking().get() == lacks
    actions.answer_missing(lacks.pk, by=secretary, at=now(), words="found in the car")
    actions.answer_missing(lacks.pk, by=secretary, at=now(), words="something else")
    assert not row.items.asking().exists()
    lacks.refresh_from_db()
    assert lacks.answer == "found in the car"


def test_nothing_received_is_a_refusal(finds, secretary: User) -> None:
    row = proposed(finds, secretary)
    with pytest.raises(CustodyError, match="refuse the hand-over"):
        signed(row, missing={item.pk: "gone" for item in items_of(row)})
    row.refresh_from_db()
    assert (row.state, row.signatures.count()) == (HandOverState.PROPOSED, 0)


@pytest.mark.parametrize("how", ["refuse", "cancel"])
def test_refused_or_cancelled_leaves_everything_where_it_was_and_cannot_be_signed(
    how: str, finds, secretary: User
) -> None:
    row = proposed(finds, secretary)
    if how == "refuse":
        actions.refuse_hand_over(row.pk, by=None, via="custody link", at=now(), why="closed today")
    else:
        actions.cancel_hand_over(row.pk, by=secretary, at=now(), why="wrong bag")
    assert {holder(find)[2] for find in finds} == {1}
    with pytest.raises(CustodyError, match="is not signed any more"):
        signed(row)
    assert proposed(finds, secretary).number != row.number


def test_a_receipt_in_writing_stands_for_a_signature_and_says_so(finds, secretary: User) -> None:
    row = proposed(finds, secretary)
    with pytest.raises(CustodyError, match="what shows"):
        actions.complete_hand_over(row.pk, by=secretary, at=now(), evidence=" ")
    actions.complete_hand_over(row.pk, by=secretary, at=now(), evidence="receipt INV 7 of 3 May")
    assert finds[0].custody.get(step=2).evidence == "receipt INV 7 of 3 May"


def test_finders_hand_over_what_they_hold_and_nothing_else(finds, member: User, secretary: User) -> None:
    row = proposed(finds[:1], member)
    signed(row, by=member, via="")
    with pytest.raises(PermissionDenied, match=r"with Ida Drift \(heritage officer\), not with you"):
        proposed(finds[:1], member, to_holder="buyer", to_name="A dealer")
    back = proposed(finds[:1], member, to_holder="finder", to_name=member.name)
    assert back.from_name == "Ida Drift"


def test_another_member_moves_nothing(finds, secretary: User) -> None:
    other = make.person()
    with pytest.raises(PermissionDenied):
        proposed(finds, other)
    row = proposed(finds, secretary)
    with pytest.raises(PermissionDenied):
        signed(row, by=other, via="")
    with pytest.raises(PermissionDenied):
        actions.complete_hand_over(row.pk, by=other, at=now(), evidence="x")


def lost(find: Find, by: User, step: int = 1, **fields: Any) -> CustodyEntry:
    said = {"what": "lost", "happened_on": make.days(-2), "words": "the bag was gone from the tea tent"}
    said |= {"reported_to": "owner, 3 May"} | fields
    return actions.record_loss(find.pk, by=by, at=now(), after_step=step, **said)


def test_a_loss_says_when_who_had_it_how_and_who_was_told(finds, secretary: User) -> None:
    entry = lost(finds[0], secretary)
    assert (entry.to_holder, entry.from_name, entry.happened_on) == ("lost", "Mo Samphire", make.days(-2))
    assert (entry.words, entry.reported_to) == ("the bag was gone from the tea tent", "owner, 3 May")
    with pytest.raises(CustodyError, match="already"):
        lost(finds[0], secretary, step=2)
    with pytest.raises(CustodyError, match="what happened"):
        lost(finds[1], secretary, words=" ")


@pytest.mark.parametrize("what", ["lost", "reburied"])
def test_what_is_lost_or_reburied_is_handed_over_only_with_the_reason(
    what: str, finds, secretary: User
) -> None:
    lost(finds[0], secretary, what=what)
    move = {"to_holder": "club", "to_name": "Finds cabinet", "purpose": "found again"}
    with pytest.raises(NotTheHolderError, match=f"nobody: it is recorded as {what}"):
        actions.hand_over(finds[0].pk, by=secretary, at=now(), after_step=2, **move)
    with pytest.raises(NotTheHolderError, match="last place"):
        proposed(finds[:1], secretary)
    entry = actions.hand_over(
        finds[0].pk, by=secretary, at=now(), after_step=2, words="under the car seat", **move
    )
    assert (entry.from_holder, entry.words) == (what, "under the car seat")


def test_a_sold_object_comes_back_only_with_the_reason(finds, secretary: User) -> None:
    move = {"to_holder": "buyer", "to_name": "A dealer", "purpose": "sold", "after_step": 1}
    actions.hand_over(finds[0].pk, by=secretary, at=now(), **move)
    with pytest.raises(NotTheHolderError, match="last place"):
        proposed(finds[:1], secretary)
    row = proposed(finds[:1], secretary, why="the sale was called off")
    signed(row)
    assert finds[0].custody.get(step=3).words == "the sale was called off"


def test_a_loss_while_a_hand_over_waits_takes_the_object_out_of_it(finds, secretary: User) -> None:
    row = proposed(finds, secretary)
    lost(finds[0], secretary)
    signed(row)
    assert [holder(find)[0] for find in finds] == ["lost", "officer", "officer"]


def test_a_withdrawn_record_is_not_handed_over(finds, secretary: User) -> None:
    actions.withdraw_find(finds[0].pk, by=secretary, at=now(), why="written twice")
    with pytest.raises(CustodyError, match="was withdrawn"):
        proposed(finds, secretary)


def test_a_new_address_ends_the_one_before(finds, secretary: User) -> None:
    row = proposed(finds, secretary)
    made = [
        actions.make_hand_over_link(
            row.pk,
            Side.RECEIVER,
            by=secretary,
            at=now(),
            expires_at=now() + timedelta(30),
            client_id=uuid4(),
        )
        for _ in range(2)
    ]
    assert list(row.links.live(now())) == made[1:]
    actions.revoke_hand_over_link(made[1].pk, by=secretary, at=now())
    assert not row.links.live(now()).exists()


@pytest.fixture
def box(secretary: User) -> Box:
    said = {"name": "Iron 1", "kept_at": "Hut", "kind": "iron", "has_gel": True}
    return actions.save_box(None, by=secretary, at=now(), client_id=uuid4(), **said)


def test_an_object_leaves_its_box_when_it_is_handed_over(finds, box: Box, secretary: User) -> None:
    actions.into_box(box.pk, [find.number for find in finds], by=secretary, at=now())
    assert actions.into_box(box.pk, [finds[0].number], by=secretary, at=now()) == []
    signed(proposed(finds[:1], secretary))
    assert list(box.moves.current().values_list("find", flat=True)) == [f.pk for f in finds[1:]]
    with pytest.raises(BoxError, match="with Ida Drift"):
        actions.into_box(box.pk, [find.number for find in finds], by=secretary, at=now())
    with pytest.raises(BoxError, match="F9999-1"):
        actions.into_box(box.pk, ["F9999-1"], by=secretary, at=now())


def test_a_box_is_read_by_those_who_keep_custody(box: Box, member: User, secretary: User) -> None:
    said = {"on": make.days(0), "humidity_percent": 8, "gel_changed": False, "client_id": uuid4()}
    with pytest.raises(PermissionDenied):
        actions.read_box(box.pk, by=member, at=now(), **said)
    first = actions.read_box(box.pk, by=secretary, at=now(), **said)
    assert actions.read_box(box.pk, by=secretary, at=now(), **said) == first


def test_the_trail_tells_who_did_what(finds, secretary: User) -> None:
    row = proposed(finds[:1], secretary)
    signed(row)
    verbs = list(AuditEntry.objects.order_by("pk").values_list("verb", "via"))
    assert verbs[-4:] == [
        ("hand_over.propose", ""),
        ("hand_over.sign", "custody link"),
        ("hand_over.accepted", "custody link"),
        ("custody.move", "custody link"),
    ]
