"""When the law packs change: told, looked at first, kept in batches, and nothing closed or unlocked by it."""

import shutil
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from io import StringIO
from pathlib import Path
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now

import law.pack
from finds.actions import make_group, move_case, rescreen_batch, start_rescreening
from finds.actions.screening import screen_find
from finds.models import Case, Find, FindMaterial, RescreenedFind, Rescreening, ScreeningRecord
from finds.pack_change import look_at, out_of_date, waiting_finds
from finds.states import CaseState
from law.pack import PACKS_DIR, load_pack
from law.together import fingerprint, packs_for
from people.models import AuditEntry, User
from permissions.facts_of import needed_everywhere, protected_licences
from reports.today import today_for
from tests import make, make_cases
from web.append_only import AppendOnlyError

pytestmark = pytest.mark.django_db

Edit = Callable[[str, str, str], None]


@pytest.fixture
def packs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Edit]:
    """A copy of the packs that a test edits as a new release would."""
    folder = shutil.copytree(PACKS_DIR, tmp_path / "packs")
    monkeypatch.setattr(law.pack, "PACKS_DIR", folder)
    caches = (load_pack, packs_for, needed_everywhere, protected_licences)

    def edit(name: str, old: str, new: str) -> None:
        path = folder / f"{name}.toml"
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")
        for cache in caches:
            cache.cache_clear()

    yield edit
    monkeypatch.undo()
    for cache in caches:
        cache.cache_clear()


@pytest.fixture
def hunt(member: User, leader: User):
    make.club()
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    return hunt


def silver(hunt, finder: User, *, percent: int = 8, **fields) -> Find:
    """A brooch of 1600 to 1650 with so much silver, the rest copper, of which all is said."""
    said = {
        "gold": "no",
        "worked": "yes",
        "assay": "bulk",
        "exceptional": "no",
        "exceptional_by_expert": True,
    }
    values = {
        "object_type": "brooch",
        "is_coin": "no",
        "year_from": 1600,
        "year_to": 1650,
        "facts": said,
    } | fields
    find = make.find(hunt, finder, **values)
    FindMaterial.objects.create(find=find, material="silver", share_percent=percent)
    FindMaterial.objects.create(find=find, material="copper alloy", share_percent=100 - percent)
    screen_find(find, by=finder, at=now())
    return find


def five_per_cent(packs: Edit) -> None:
    """As if the law asked for 5 per cent of precious metal, in a new version of the pack."""
    packs("parts/treasure-act", "precious_at_least = 10", "precious_at_least = 5")
    packs("england", 'version = "', 'version = "9-')


def keep(by: User, **batch) -> Rescreening:
    run = start_rescreening(by=by, at=now())
    assert run is not None
    while rescreen_batch(run.pk, by=by, at=now(), **batch):
        pass
    run.refresh_from_db()
    return run


def test_a_screening_keeps_the_packs_that_judged_with_version_and_content(hunt, member: User) -> None:
    row = silver(hunt, member).screenings.select_related("find").get()
    pack = load_pack("england")
    assert [(p["code"], p["version"], p["digest"]) for p in row.packs] == [
        ("england", pack.version, pack.digest)
    ]
    assert (row.judged_by, row.find.judged_by) == (fingerprint("england"),) * 2
    assert set(row.answered) == {"gold", "worked", "assay", "exceptional", "exceptional_by_expert"}


def test_nothing_waits_while_the_packs_are_the_same(hunt, member: User, committee: User) -> None:
    silver(hunt, member)
    assert waiting_finds() == []
    assert start_rescreening(by=committee, at=now()) is None


def test_a_changed_pack_is_told_with_both_versions_and_the_finds_that_wait(
    hunt, member: User, committee: User, packs: Edit
) -> None:
    silver(hunt, member), silver(hunt, member)
    before = load_pack("england").version
    five_per_cent(packs)
    assert [(row.before, row.after, row.finds) for row in waiting_finds()] == [
        (f"england {before}", f"england 9-{before}", 2)
    ]
    told = {group.title: group.items for group in today_for(committee, at=now())}
    assert "2 finds judged by an older one" in told["Rules of law changed"][0].words
    assert "Rules of law changed" not in {group.title for group in today_for(member, at=now())}


def test_other_content_under_the_same_version_is_told_too(hunt, member: User, packs: Edit) -> None:
    silver(hunt, member)
    packs("parts/treasure-act", "precious_at_least = 10", "precious_at_least = 5")
    assert waiting_finds()[0].before.endswith("whose text was another")


def test_a_trial_says_what_would_change_and_keeps_nothing(hunt, member: User, packs: Edit) -> None:
    find, plain = silver(hunt, member), silver(hunt, member, percent=3)
    five_per_cent(packs)
    looks = {look.find.pk: look.changes for look in look_at(list(out_of_date()), at=now())}
    change = next(change for change in looks[find.pk] if change.rule == "ta-1")
    assert (change.before, change.after) == ("ruled out", "possible duty")
    assert "5%" in change.why
    assert looks[plain.pk] == ()
    assert ScreeningRecord.objects.count() == 2
    assert Case.objects.count() == 0


@pytest.mark.once
def test_a_trial_of_many_asks_the_database_as_often_as_for_one(hunt, member: User, packs: Edit) -> None:
    silver(hunt, member)
    five_per_cent(packs)
    look_at(list(out_of_date()), at=now())
    with CaptureQueriesContext(connection) as one:
        look_at(list(out_of_date()), at=now())
    for _ in range(6):
        silver(hunt, member)
    Find.objects.update(judged_by="old")
    with CaptureQueriesContext(connection) as many:
        look_at(list(out_of_date()), at=now())
    assert len(many) == len(one)


def test_keeping_the_answers_opens_cases_and_keeps_what_changed(
    hunt, member: User, committee: User, packs: Edit
) -> None:
    find, plain = silver(hunt, member), silver(hunt, member, percent=3)
    five_per_cent(packs)
    run = keep(committee, size=1)
    find.refresh_from_db()
    assert (find.locked, find.cases.get().state) == (True, CaseState.FLAGGED)
    assert run.finished_at is not None
    lines = {line.find_id: line for line in RescreenedFind.objects.filter(run=run)}
    assert (lines[find.pk].changed, lines[plain.pk].changed) == (True, False)
    assert {change["clause"] for change in lines[find.pk].changes} >= {
        load_pack("england").rule("ta-1").clause
    }
    assert lines[find.pk].before != lines[find.pk].after
    assert AuditEntry.objects.filter(verb="screening.again", by=committee).count() == 1
    assert waiting_finds() == []


def test_a_line_of_the_record_cannot_be_changed(hunt, member: User, committee: User, packs: Edit) -> None:
    silver(hunt, member)
    five_per_cent(packs)
    keep(committee)
    with pytest.raises(AppendOnlyError):
        RescreenedFind.objects.update(changed=False)


def test_it_goes_on_where_it_stopped_and_is_done_once(
    hunt, member: User, committee: User, packs: Edit
) -> None:
    for _ in range(3):
        silver(hunt, member)
    five_per_cent(packs)
    first = start_rescreening(by=committee, at=now())
    assert first is not None
    assert rescreen_batch(first.pk, by=committee, at=now(), size=1) == 2
    again = start_rescreening(by=make.person(*committee.roles), at=now())
    assert again is not None
    assert again.pk == first.pk
    assert rescreen_batch(first.pk, by=committee, at=now(), size=9) == 0
    assert rescreen_batch(first.pk, by=committee, at=now()) == 0
    assert RescreenedFind.objects.filter(run=first).count() == 3
    assert ScreeningRecord.objects.count() == 6
    assert Rescreening.objects.count() == 1


def test_a_find_saved_meanwhile_is_not_judged_twice(hunt, member: User, committee: User, packs: Edit) -> None:
    find = silver(hunt, member)
    silver(hunt, member)
    five_per_cent(packs)
    run = start_rescreening(by=committee, at=now())
    screen_find(find, by=member, at=now())
    keep(committee)
    assert find.screenings.count() == 2
    assert RescreenedFind.objects.filter(run=run).count() == 1


def test_packs_that_change_again_end_the_run_and_begin_another(
    hunt, member: User, committee: User, packs: Edit
) -> None:
    silver(hunt, member), silver(hunt, member)
    five_per_cent(packs)
    first = start_rescreening(by=committee, at=now())
    assert first is not None
    rescreen_batch(first.pk, by=committee, at=now(), size=1)
    packs("england", 'version = "9-', 'version = "10-')
    second = keep(committee)
    first.refresh_from_db()
    assert first.finished_at is not None
    assert second.pk != first.pk
    assert (first.finds.count(), second.finds.count()) == (1, 2)


def test_a_pack_that_asks_less_unlocks_and_closes_nothing(
    hunt, member: User, committee: User, packs: Edit
) -> None:
    find = silver(hunt, member, percent=20)
    case = find.cases.get()
    packs("parts/treasure-act", "precious_at_least = 10", "precious_at_least = 50")
    keep(committee)
    find.refresh_from_db()
    case.refresh_from_db()
    assert find.screenings.first().outcome == "no_duty_found" or find.screenings.first().weight != "test"
    assert (find.locked, case.state, case.due_on) == (True, CaseState.FLAGGED, find.cases.get().due_on)


def test_the_earliest_last_day_stands_when_a_clock_is_made_longer(
    hunt, member: User, committee: User, packs: Edit
) -> None:
    find = silver(hunt, member, percent=20)
    due = find.cases.get().due_on
    packs("parts/treasure-act", "number = 14", "number = 28")
    run = keep(committee)
    assert find.screenings.first().due_on == due + timedelta(14)
    assert find.cases.get().due_on == due
    assert {change["what"] for change in run.finds.get().changes} == {"last day"}


def test_a_shorter_clock_brings_the_last_day_forward(
    hunt, member: User, committee: User, packs: Edit
) -> None:
    find = silver(hunt, member, percent=20)
    due = find.cases.get().due_on
    packs("parts/treasure-act", "number = 14", "number = 7")
    keep(committee)
    assert find.cases.get().due_on == due - timedelta(7)


def test_a_group_is_screened_as_one_and_each_find_has_its_line(
    hunt, member: User, committee: User, packs: Edit
) -> None:
    first, second = silver(hunt, member), silver(hunt, member, percent=3)
    make_group([first.number, second.number], by=committee, at=now(), reasons="touching", client_id=uuid4())
    five_per_cent(packs)
    run = keep(committee, size=1)
    assert set(run.finds.values_list("find", flat=True)) == {first.pk, second.pk}
    assert [set(case.finds.all()) for case in Case.objects.all()] == [{first, second}]


def test_only_the_committee_keeps_answers(hunt, member: User, secretary: User, packs: Edit) -> None:
    silver(hunt, member)
    five_per_cent(packs)
    for person in (member, secretary):
        with pytest.raises(PermissionDenied):
            start_rescreening(by=person, at=now())


def test_the_command_looks_first_and_then_keeps(hunt, member: User, packs: Edit) -> None:
    find = silver(hunt, member)
    five_per_cent(packs)
    out = StringIO()
    call_command("rescreen", "--dry-run", stdout=out)
    assert f"{find.number}: " in out.getvalue()
    assert "1 finds looked at, 1 would change. Nothing was kept." in out.getvalue()
    assert find.cases.count() == 0
    call_command("rescreen", "--batch=1", stdout=out)
    assert "1 finds screened again, 1 changed" in out.getvalue()
    assert find.cases.count() == 1
    call_command("rescreen", stdout=out)
    assert "judged by the rules in force" in out.getvalue()


def test_the_committee_reads_looks_and_keeps_on_its_pages(
    client: Client, hunt, member: User, committee: User, packs: Edit
) -> None:
    find = silver(hunt, member)
    five_per_cent(packs)
    client.force_login(committee)
    assert "See what would change" in client.get(reverse("finds:pack_list")).text
    trial = client.get(reverse("finds:pack_change")).text
    assert "1 of these 1 find would change" in trial
    assert "ruled out → possible duty" in trial
    kept = client.post(reverse("finds:pack_change"), follow=True)
    assert find.number in kept.text
    assert "ruled out → possible duty" in kept.text
    again = client.post(reverse("finds:pack_change"), follow=True)
    assert "nothing left to do" in again.text
    history = client.get(reverse("finds:screening_list", args=[find.pk])).text
    assert "Other rules judged it." in history
    assert "ruled out → possible duty" in history


def test_a_screening_is_followed_to_clause_fact_count_and_answer(
    client_of, hunt, member: User, committee: User
) -> None:
    found = make.moment(2026, 5, 3)
    find = silver(hunt, member, percent=20, found_at=found)
    row = find.screenings.get()
    page = client_of(committee).get(reverse("finds:screening_detail", args=[row.pk])).text
    # Treasure Act 1996 s.8(2): 14 days beginning with the day after the find.
    assert (
        "Found 3 May 2026 → 14 days beginning with 4 May 2026, which is day 1 → day 14 is 17 May 2026" in page
    )
    assert "until 23:59 (Europe/London)" in page
    assert "From: answer to the law&#x27;s questions." in page
    assert "From: record." in page
    assert reverse("finds:pack_detail", args=["england"]) + "#rule-ta-1" in page
    assert f"version {load_pack('england').version}" in page
    assert "The official consent or permit" in page


def test_the_finder_follows_their_own_answer_and_another_member_does_not(
    client_of, hunt, member: User
) -> None:
    row = silver(hunt, member).screenings.get()
    url = reverse("finds:screening_detail", args=[row.pk])
    assert client_of(member).get(url).status_code == 200
    assert client_of(make.person()).get(url).status_code == 403


def test_a_place_without_a_pack_is_told_in_words_and_never_as_no_duty(
    client_of, hunt, member: User, committee: User
) -> None:
    type(hunt.sites.all()[0]).objects.update(jurisdiction="jersey")
    find = silver(hunt, member, percent=20)
    assert (find.screenings.count(), Find.objects.get(pk=find.pk).judged_by) == (0, "")
    page = client_of(member).get(reverse("finds:detail", args=[find.pk])).text
    assert "No rules of law are held for “jersey”" in page
    assert "No duty found" not in page
    told = {group.title: group.items for group in today_for(committee, at=now())}
    assert "no rules of law held for this place: 1 find not screened" in told["Law not known"][0].words
    assert (
        "No rules of law are held for “jersey”" in client_of(committee).get(reverse("finds:pack_list")).text
    )


def test_a_site_that_moves_under_another_law_waits_for_screening(hunt, member: User, committee: User) -> None:
    find = silver(hunt, member, percent=20)
    type(hunt.sites.all()[0]).objects.update(jurisdiction="scotland")
    assert [(row.place, row.finds) for row in waiting_finds()] == [("scotland", 1)]
    keep(committee)
    assert find.screenings.first().pack_code == "scotland"


def test_a_state_of_the_union_is_judged_and_kept_with_the_federal_pack(hunt, member: User) -> None:
    type(hunt.sites.all()[0]).objects.update(jurisdiction="us-washington")
    row = silver(hunt, member).screenings.get()
    assert [pack["code"] for pack in row.packs] == ["us-washington", "us-federal"]
    assert {duty["pack"] for duty in row.result["duties"]} == {"us-washington", "us-federal"}


def test_a_closed_case_stays_closed_when_a_pack_changes_only_its_words(
    hunt, member: User, committee: User, packs: Edit
) -> None:
    find = silver(hunt, member, percent=20)
    case = find.cases.get()
    move_case(case.pk, CaseState.REVIEW, by=committee, at=now(), words="x")
    make_cases.no_duty(case, committee, "brass")
    packs("england", 'version = "', 'version = "9-')
    run = keep(committee)
    case.refresh_from_db()
    assert (case.state, run.finds.get().changed) == (CaseState.NO_DUTY, False)


def test_the_club_may_only_be_under_a_law_that_is_known_or_said_not_to_be(
    client: Client, secretary: User
) -> None:
    make.club()
    client.force_login(secretary)
    page = client.get(reverse("people:club_settings"))
    assert '<option value="us-washington">' in page.text
    data = {"name": "R", "jurisdiction": "jersey", "units": "both", "currency": "GBP", "find_prefix": "F"}
    refused = client.post(reverse("people:club_settings"), data)
    assert refused.status_code == 200
    assert "jersey" in refused.text


def test_days_of_the_trial_are_not_moved_by_when_it_is_looked_at(hunt, member: User, packs: Edit) -> None:
    silver(hunt, member, percent=20, realised_on=date(2026, 1, 5), found_at=make.moment(2026, 1, 2))
    packs("england", 'version = "', 'version = "9-')
    assert [look.changes for look in look_at(list(out_of_date()), at=now())] == [()]
