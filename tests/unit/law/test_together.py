"""Several packs in one place, the difference between two screenings, and answers tried in turn."""

import shutil
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

import law.pack
from law.compare import What, differences
from law.facts import Assay, FindFacts
from law.pack import PACKS_DIR, UnknownJurisdictionError, load_pack, pack_codes
from law.place import PlaceFacts
from law.screen import Outcome, screen
from law.screening import Screening
from law.search import Effect
from law.together import (
    fingerprint,
    licences_needed_in,
    packs_for,
    screen_place,
    screen_same_place,
    search_answers_for,
)
from law.tri import Tri
from law.whatif import what_would_change
from tests.unit.law.make import FOUND, make_facts

ON = date(2025, 12, 1)
WASHINGTON = "us-washington"


def here(**changes: object) -> Screening:
    return screen_place(make_facts(consent_held=Tri.NO, **changes), code=WASHINGTON, on=ON)


def test_a_state_is_judged_by_its_own_law_and_the_federal_one() -> None:
    assert [pack.code for pack in packs_for(WASHINGTON)] == [WASHINGTON, "us-federal"]
    assert [pack.code for pack in here().packs] == [WASHINGTON, "us-federal"]
    assert all(len(packs_for(code)) == 1 for code in pack_codes() if not load_pack(code).also)


def test_the_outcome_is_the_worse_of_both_and_each_duty_names_its_pack() -> None:
    # 16 USC 470ee(a): a horse bit of 1890 from a forest needs a permit; state law does not ask for it there.
    facts = {"land_status": "national_forest", "made_from": 1890, "made_to": 1890}
    alone = screen(make_facts(consent_held=Tri.NO, **facts), pack=load_pack(WASHINGTON), on=ON)
    both = here(**facts)
    assert (alone.outcome, both.outcome) == (Outcome.NO_DUTY_FOUND, Outcome.DUTY)
    assert {duty.pack for duty in both.duties} == {"us-federal"}
    # RCW 27.53.060(1): a point dug from a site on private land; federal law does not touch private land (470kk(c)).
    site = here(at_remain=Tri.YES, dug=Tri.YES, prehistoric=Tri.UNKNOWN, made_from=None, made_to=1500)
    assert {(duty.pack, duty.rule) for duty in site.duties if duty.strength == "duty"} == {
        (WASHINGTON, "wa-site")
    }


def test_nothing_that_one_pack_says_is_lost_in_the_joined_answer() -> None:
    facts = FindFacts(found_on=FOUND)
    both = screen_place(facts, code=WASHINGTON, on=ON)
    parts = [screen(facts, pack=pack, on=ON) for pack in packs_for(WASHINGTON)]
    for part in parts:
        assert {(duty.pack, duty.rule) for duty in part.duties} <= {
            (duty.pack, duty.rule) for duty in both.duties
        }
        assert {unknown.fact for unknown in part.unknowns} <= {unknown.fact for unknown in both.unknowns}
        assert set(part.cautions) <= set(both.cautions)
        for drill in part.drills:
            steps = next(shown.steps for shown in both.drills if shown.title == drill.title)
            assert set(drill.steps) <= set(steps)
    asked = [unknown.fact for unknown in both.unknowns]
    assert len(asked) == len(set(asked))
    titles = [drill.title for drill in here(human_remains=Tri.YES).drills]
    assert titles == ["Stop and call"]


def test_both_packs_count_in_the_zone_of_the_place() -> None:
    # Found at 06:30 UTC: late the evening before in Washington. The federal pack alone would say the next day.
    found = datetime(2025, 3, 11, 6, 30, tzinfo=UTC)
    facts = make_facts(found_on=None, found_at=found, human_remains=Tri.YES, land_status="tribal")
    due = next(
        d.due for d in screen_place(facts, code=WASHINGTON, on=ON).duties if d.rule == "us-cultural-items"
    )
    assert due.at is not None
    assert (due.at.isoformat(), due.at.tzname()) == ("2025-03-11T23:30:00-07:00", "PDT")


def test_a_kept_answer_comes_back_whole_also_one_from_before_packs_were_named() -> None:
    both = here(ordnance=Tri.YES)
    assert Screening.from_dict(both.to_dict()) == both
    old = both.to_dict()
    del old["packs"]
    for part in (*old["duties"], *old["ruled_out"]):
        for name in ("pack", "facts"):
            del part[name]
    read = Screening.from_dict(old)
    assert [(pack.code, pack.version) for pack in read.packs] == [(WASHINGTON, both.pack_version)]
    assert {duty.pack for duty in read.duties} == {WASHINGTON}


@pytest.mark.parametrize("code", pack_codes())
def test_a_same_find_is_judged_as_record_by_record(code: str) -> None:
    find = [
        make_facts(is_coin=Tri.YES, silver=Tri.YES, made_from=1205, made_to=1247),
        make_facts(gold=Tri.YES),
    ]
    together = screen_same_place(find, code=code, on=ON)
    alone = [
        screen_place(find[0], group=find[1:], code=code, on=ON),
        screen_place(find[1], group=find[:1], code=code, on=ON),
    ]
    assert together == alone


@pytest.mark.parametrize("code", ["jersey", "other", "", None])
def test_a_place_without_a_pack_is_an_error_in_words(code: str | None) -> None:
    for ask in (
        lambda: packs_for(code),
        lambda: screen_place(make_facts(), code=code, on=ON),
        lambda: search_answers_for(code, PlaceFacts(on=ON)),
        lambda: licences_needed_in(code),
        lambda: screen_place(make_facts(jurisdiction="jersey"), code="england", on=ON),
    ):
        with pytest.raises(UnknownJurisdictionError, match="ask the museum"):
            ask()


def test_searching_there_answers_to_both_laws() -> None:
    # 36 CFR 2.1(a)(7) shuts a park of the nation within the state; RCW 27.53.060 shuts a site anywhere.
    park = PlaceFacts(on=ON, land_status="national_park", ancient_site=Tri.YES, owner_leave=Tri.YES)
    shut = {(a.pack, a.code) for a in search_answers_for(WASHINGTON, park) if a.effect is Effect.SHUT}
    assert shut == {(WASHINGTON, "site"), ("us-federal", "park")}
    assert {"wa-archaeology", "us-forest", "us-land-permit"} <= licences_needed_in(WASHINGTON).keys()


@pytest.fixture
def packs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A copy of the packs that a test may edit, as a new release would."""
    folder = shutil.copytree(PACKS_DIR, tmp_path / "packs")
    monkeypatch.setattr(law.pack, "PACKS_DIR", folder)

    def edit(code: str, old: str, new: str) -> None:
        path = folder / f"{code}.toml"
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")
        load_pack.cache_clear()
        packs_for.cache_clear()

    yield edit
    monkeypatch.undo()
    load_pack.cache_clear()
    packs_for.cache_clear()


def test_the_fingerprint_follows_every_pack_of_the_place(packs) -> None:
    before = {code: fingerprint(code) for code in (WASHINGTON, "us-federal", "england")}
    packs("us-federal", "{ age_at_least = 100 }", "{ age_at_least = 99 }")
    assert fingerprint("us-federal") != before["us-federal"]
    assert fingerprint(WASHINGTON) != before[WASHINGTON]
    assert fingerprint("england") == before["england"]


def test_what_a_changed_pack_changes_is_told_with_clause_and_reason(packs) -> None:
    facts = make_facts(land_status="federal_other", made_from=1930, made_to=1931, consent_held=Tri.NO)
    before = screen_place(facts, code="us-federal", on=ON)
    packs("us-federal", "{ age_at_least = 100 }", "{ age_at_least = 90 }")
    changes = differences(before, screen_place(facts, code="us-federal", on=ON))
    outcome, duty = changes[0], next(change for change in changes if change.rule == "us-resource")
    assert (outcome.what, outcome.before, outcome.after) == (What.OUTCOME, "no duty found", "duty")
    assert (duty.before, duty.after, duty.clause) == ("ruled out", "duty", "16 USC 470bb(1) and 470ee(a)")
    assert "at least 90 years old" in duty.why


def test_no_difference_is_told_where_there_is_none() -> None:
    answer = here(ordnance=Tri.YES)
    assert differences(answer, replace(answer, cautions=("other words",))) == ()
    assert differences(None, answer)[0].before == "not judged"


def test_another_day_of_belief_is_told_as_another_last_day() -> None:
    ring = make_facts(
        gold=Tri.YES, silver=Tri.NO, precious_pct_low=90, assay=Assay.BULK, made_from=1600, made_to=1650
    )
    before = screen_place(ring, code="england", on=ON)
    after = screen_place(replace(ring, realised_on=date(2025, 4, 2)), code="england", on=ON)
    due = next(change for change in differences(before, after) if change.what == What.DUE)
    assert (due.before, due.after) == ("24 March 2025", "15 April 2025")
    assert "day 14 is 15 April 2025" in due.why


@pytest.mark.parametrize("code", pack_codes())
def test_what_an_answer_would_change_is_what_the_answer_changes(code: str) -> None:
    facts = FindFacts(found_on=FOUND, is_coin=Tri.NO)
    for tried in what_would_change(facts, code=code, on=ON):
        if tried.fact in ("ordnance", "human_remains", "tidal", "consent_held"):
            said = Tri.NO if " not " in tried.words or " no " in tried.words else Tri.YES
            then = screen_place(replace(facts, **{tried.fact: said}), code=code, on=ON)
            names = {"duty": "duty", "possible_duty": "possible duty", "no_duty_found": "no duty found"}
            assert tried.outcome == names[then.outcome.value]
            strengths = {(d.pack, d.rule): d.strength.value for d in then.duties}
            for effect in tried.effects:
                now = strengths.get((effect.pack, effect.rule), "ruled out")
                assert effect.after.startswith("possible duty" if now == "possible" else now)


def test_the_line_of_the_law_decides_what_is_tried() -> None:
    # Treasure Act 1996 s.3(3): at least 10 per cent by weight of metal is precious metal; s.1(1)(a): 300 years.
    ring = replace(
        make_facts(silver=Tri.YES, exceptional=Tri.NO), precious_pct_low=None, made_from=1600, made_to=1650
    )
    said = {each.words: each for each in what_would_change(ring, code="england", on=ON)}
    enough = said["Gold or silver is 10 % of its metal by weight (bulk assay) or more."]
    assert enough.outcome == "duty"
    assert [(e.rule, e.after) for e in enough.effects if e.rule == "ta-1"] == [("ta-1", "duty")]
    less = said["Gold or silver is less than 10 % of its metal by weight (bulk assay)."]
    assert [(e.rule, e.after) for e in less.effects if e.rule == "ta-1"] == [("ta-1", "ruled out")]
    undated = replace(
        ring, made_from=None, made_to=None, precious_pct_low=90, precious_pct_high=95, assay=Assay.BULK
    )
    said = {each.words: each.outcome for each in what_would_change(undated, code="england", on=ON)}
    assert said["It was made in 1723 or before."] == "duty"
    assert "It was made in 1727 or later." in said
