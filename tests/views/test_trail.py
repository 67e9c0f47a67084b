"""The audit trail keeps codes and says them in the language of whoever reads it."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.utils import translation

from finds.models import GroupEvent, PairEvent
from finds.models.case_vote import CaseVote
from finds.states import CaseState, HandOverState, SheetState
from hunts.models import IncidentEvent
from people import audit
from people.account_words import Change
from people.models import User
from people.trail_verbs import VERBS
from people.trail_verbs_of_days import VERBS_OF_DAYS
from people.trail_words import label_words, verb_words, via_words
from permissions.models.site import Succession
from permissions.states import State
from reports.models import LandholderAnswer
from reports.states import OfficerVisitState
from tests import make

ROOT = Path(__file__).resolve().parent.parent.parent
APPS = ("people", "web", "permissions", "hunts", "finds", "reports", "field", "keeping", "doors")
VERB = re.compile(r"[a-z_]+(\.[a-z_]+)+")

# The verbs that are put together of a beginning and a state; a new beginning fails the test until it is named here.
PUT_TOGETHER = {
    "account.": [change.value for change in Change],
    "mail.": ["on", "off"],
    "site.": Succession.How.values,
    "permission.": [state.value for state in State],
    "incident.": [verb.replace(" ", "_") for verb in IncidentEvent.Verb.values],
    "case.": [state.name.lower() for state in CaseState],
    "case.no_duty_": [says.name.lower() for says in CaseVote.Says],
    "group.": GroupEvent.Verb.values,
    "pair.": PairEvent.Verb.values,
    "hand_over.": [state.value for state in HandOverState if state != "proposed"],
    "settlement.": [state.value for state in SheetState],
    "landholder.": LandholderAnswer.What.values,
    "officer_visit.": [state.name.lower() for state in OfficerVisitState if state != "planned"],
}
BY_NAME = {
    "club.backup",
    "club.backup_proved",
    "party.add",
    "party.change",
}  # given by a constant or a variable


def _first_arguments() -> Iterator[ast.expr]:
    for app in APPS:
        for path in (ROOT / app).rglob("*.py"):
            if {"migrations", "demo"} & set(path.parts):
                continue
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Call) and node.args:
                    name = ast.unparse(node.func).rpartition(".")[2]
                    if name in {"record", "record_many", "note"}:
                        yield node.args[0]
                    elif name == "_change" and len(node.args) > 1:
                        yield node.args[1]


def test_every_verb_that_the_program_keeps_has_its_words() -> None:
    kept, beginnings = set(BY_NAME), set()
    for argument in _first_arguments():
        if isinstance(argument, ast.JoinedStr):
            beginnings.add(str(getattr(argument.values[0], "value", "")))
        else:
            texts = (n.value for n in ast.walk(argument) if isinstance(n, ast.Constant))
            kept |= {text for text in texts if isinstance(text, str) and VERB.fullmatch(text)}
    assert len(kept) > 150
    assert beginnings == set(PUT_TOGETHER)
    kept |= {start + state for start, states in PUT_TOGETHER.items() for state in states}
    assert VERBS.keys() | VERBS_OF_DAYS.keys() == kept
    assert not VERBS.keys() & VERBS_OF_DAYS.keys()


def test_words_in_two_languages() -> None:
    with translation.override("nl"):
        assert verb_words("hole.fill") == "Gat gedicht"
        assert label_words("hole 12", "hunts.Hole:3") == "gat 12"
        assert label_words("Ordnance", "hunts.Incident:1") == "Explosieven"
        assert label_words("F2026-0003 button", "finds.Find:3") == "F2026-0003 button"
        assert via_words("link") == "een eigen pagina"
        assert via_words("late_out") == "late_out"
    assert verb_words("hole.fill") == "Hole filled"
    assert verb_words("old_thing.gone_by") == "old thing: gone by", "a verb of an older version stays legible"


@pytest.mark.django_db
def test_a_dutch_secretary_reads_the_trail_in_dutch_whoever_wrote_it(secretary: User, client_of: Any) -> None:
    User.objects.filter(pk=secretary.pk).update(language="nl")
    hole = make.hole(make.hunt(), secretary)
    with translation.override("nl"):
        entry = audit.record("hole.fill", hole, by=secretary, at=make.moment(2026, 5, 3))
    assert entry.label == f"hole {hole.number}", "the trail is kept in one language"
    page = client_of(User.objects.get(pk=secretary.pk)).get("/club/audit/").content.decode()
    assert "Gat gedicht" in page
    assert f"gat {hole.number}" in page
    assert "hole" not in page[page.index("<tbody>") : page.index("</tbody>")]
