"""Errands about objects: hand-overs, papers that settle a find, and what becomes of a heritage case."""

from collections.abc import Iterator

from django.urls import reverse
from django.utils.timezone import localdate

from finds.hand_over_text import digest_of as hand_over_digest
from finds.hand_over_text import items_of, text_of
from finds.models import CaseMessage, CaseReport, CaseVote, CustodyEntry, HandOver, Valuation
from finds.states import CaseState, HandOverState, SheetState
from people.models import User
from reports.agreements import digest_of
from reports.models import PaperSignature, PaperSigner
from reports.paper_links import paper_key_of
from reports.papers import signed_text
from tests.faults.errands import Check, Errand, exactly_once, one_of, posted, told_once
from tests.faults.stage import Stage
from tests.faults.wire import form


def hand_over(stage: Stage) -> list[Errand]:
    """One receives the objects while another takes the proposal back: one of the two counts."""
    row = stage.hand_overs[0]
    read = hand_over_digest(text_of(row, items_of(row), "receiver"))
    said = {"name": "Sal Marram", "agree": "on", "read_sha256": read, "client_id": stage.key()}
    receive = form(reverse("finds:hand_over_sign", args=[row.pk, "receiver"]), **said)
    cancel = form(reverse("finds:hand_over_end", args=[row.pk, "cancel"]), why="another day")

    def ended(*states: HandOverState) -> Check:
        def check(acknowledged: bool) -> Iterator[str]:
            row.refresh_from_db()
            yield from one_of(f"{row}", row.state, states if acknowledged else HandOverState)
            accepted = row.state == HandOverState.ACCEPTED
            moved = CustodyEntry.objects.filter(hand_over=row).count()
            if (moved, row.signatures.filter(side="receiver").count()) != (accepted, accepted):
                yield f"{row} is {row.state} and moved {moved} objects"

        return check

    return [
        posted("hand-over", stage.cast.secretary, receive, ended(HandOverState.ACCEPTED)),
        posted("hand-over taken back", row.proposed_by, cancel, ended(HandOverState.CANCELLED)),
    ]


def propose(stage: Stage) -> Errand:
    """Somebody proposes to hand their find over; the same proposal twice is one."""
    find, key = stage.rng.choice(stage.finds[2:4]), stage.key()
    said = {
        "to_holder": "museum",
        "to_name": "Ravensand Museum",
        "purpose": "to be drawn",
        "capacity": "finder",
    }
    asked = form(reverse("finds:hand_over_new"), client_id=key, numbers=find.number, **said)

    def check(acknowledged: bool) -> Iterator[str]:
        rows = HandOver.objects.filter(client_id=key)
        yield from exactly_once(f"hand-over {key}", rows, acknowledged)
        for row in rows:
            yield from told_once("hand_over.propose", row)
            yield from exactly_once(f"the object of {row}", row.items.all(), True)

    return posted("proposal", find.finder, asked, check)


def move(stage: Stage) -> list[Errand]:
    """Two record from the same page where an object went: the second looks at the ledger again."""
    find = stage.finds[3]
    path = reverse("finds:custody_add", args=[find.pk])

    def one(to_name: str) -> Errand:
        said = {"after_step": 1, "to_holder": "conservator", "to_name": to_name, "purpose": "to be cleaned"}

        def check(acknowledged: bool) -> Iterator[str]:
            second = CustodyEntry.objects.filter(find=find, step=2)
            yield from exactly_once(f"the second step of {find}", second, acknowledged)
            if acknowledged and not CustodyEntry.objects.filter(find=find, to_name=to_name).exists():
                yield f"{find} was handed to {to_name} and is not there"

        return posted("custody", stage.cast.secretary, form(path, **said), check)

    return [one("R. Hale"), one("E. Voss")]


def paper(stage: Stage) -> list[Errand]:
    """Finder and landholder sign the settlement at once, each on two devices; with the last it is settled."""
    return [_sign_paper(stage, signer) for signer in stage.signers for _ in range(2)]


def _sign_paper(stage: Stage, signer: PaperSigner) -> Errand:
    sheet, who = signer.paper.sheet, signer.user
    assert sheet is not None
    path = (
        reverse("reports:paper_sign", args=[signer.paper_id])
        if who
        else reverse("reports:by_paper_sign", args=[paper_key_of(signer)])
    )
    said = {"name": signer.name, "agree": "on", "read_sha256": digest_of(signed_text(signer))}

    def check(acknowledged: bool) -> Iterator[str]:
        yield from exactly_once(
            f"a signature of {sheet}", PaperSignature.objects.filter(signer=signer), acknowledged
        )
        sheet.refresh_from_db()
        signed = PaperSignature.objects.filter(signer__paper__sheet=sheet).count()
        states = {0: SheetState.SENT, len(stage.signers): SheetState.SETTLED}
        yield from one_of(
            f"{sheet} with {signed} signatures", sheet.state, [states.get(signed, SheetState.PART)]
        )

    return posted("settlement", who, form(path, client_id=stage.key(), **said), check)


def value(stage: Stage) -> Errand:
    find, key = stage.finds[0], stage.key()
    said = {"on": localdate().isoformat(), "valuer": "E. Voss", "method": "seen in the hand", "low": "40"}
    asked = form(reverse("finds:valuation_add", args=[find.pk]), client_id=key, **said)
    return posted(
        "value", stage.cast.secretary, asked,
        lambda got: exactly_once(f"value {key}", Valuation.objects.filter(client_id=key), got),
    )  # fmt: skip


def case(stage: Stage) -> list[Errand]:
    """Two of the committee take the same case up at once."""
    row = stage.finds[-1].cases.get()
    asked = form(reverse("finds:case_move", args=[row.pk]), to=CaseState.REVIEW.value, words="looking at it")

    def check(acknowledged: bool) -> Iterator[str]:
        row.refresh_from_db()
        if acknowledged and row.state == CaseState.FLAGGED:
            yield f"{row} was taken up and is {row.state}"
        if row.events.filter(to_state=CaseState.REVIEW).count() > 1:
            yield f"{row} was taken up twice"

    return [posted("case", who, asked, check) for who in stage.cast.committee]


def reported(stage: Stage) -> list[Errand]:
    """Finder and committee keep at once that the authority was told."""
    return [_reported(stage, who) for who in (stage.finds[-1].finder, stage.cast.committee[0])]


def _reported(stage: Stage, who: User) -> Errand:
    row, key = stage.finds[-1].cases.get(), stage.key()
    said = {
        "on": localdate().isoformat(),
        "how": "e-mail",
        "to": "the finds officer",
        "words": "with pictures",
    }
    asked = form(reverse("finds:case_report", args=[row.pk]), client_id=key, **said)

    def check(acknowledged: bool) -> Iterator[str]:
        yield from exactly_once(
            f"the report of {row}", CaseReport.objects.filter(client_id=key), acknowledged
        )
        row.refresh_from_db()
        told = CaseReport.objects.filter(case=row).exists()
        if told != (row.state == CaseState.REPORTED):
            yield f"{row} is {row.state} and was {'' if told else 'not '}reported"

    return posted("case report", who, asked, check)


def vote(stage: Stage) -> Errand:
    """“No duty” is proposed; the same signature twice is one."""
    row, key, who = stage.finds[-1].cases.get(), stage.key(), stage.rng.choice(stage.cast.committee)
    asked = form(reverse("finds:case_propose", args=[row.pk]), client_id=key, words="modern, stamped")
    votes = CaseVote.objects.filter(client_id=key)
    return posted("vote", who, asked, lambda got: exactly_once(f"vote {key}", votes, got))


def message(stage: Stage) -> Errand:
    find, key = stage.finds[-1], stage.key()
    row = find.cases.get()
    said = {"finder": find.finder_id, "words": "Where is it kept?", "asks": "on"}
    asked = form(reverse("finds:case_message", args=[row.pk]), client_id=key, **said)
    rows = CaseMessage.objects.filter(client_id=key)
    return posted(
        "message", stage.cast.committee[0], asked, lambda got: exactly_once(f"message {key}", rows, got)
    )
