"""Run the law pack over a find and its group, keep the answer, and lock and open a case where something may be owed."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date, datetime

from django.db import transaction
from django.db.models import Max, Q

from finds.actions.cases import ended_cases, open_case
from finds.actions.drills import open_stops
from finds.actions.four_eyes import lapse_where_changed
from finds.actions.locks import lock_finds
from finds.legal import facts_of
from finds.models import Find, ScreeningRecord
from law.facts import FindFacts
from law.pack import UnknownJurisdictionError, pack_codes
from law.screen import DutyFound, Screening, Strength, Weight
from law.together import fingerprint, screen_same_place
from law.tri import Tri
from people.models import User
from people.rights import Right, require


def judge(find: Find, *, at: datetime) -> Screening:
    """Screen `find` with its group, without keeping anything.

    Raises law's UnknownJurisdictionError when no pack covers the site: never "no duty".
    """
    if find.site.jurisdiction not in pack_codes():
        raise UnknownJurisdictionError(find.site.jurisdiction)
    return judge_together(same_find_of(find), at=at)[find.pk][1]


def judge_together(finds: Sequence[Find], *, at: datetime) -> dict[int, tuple[FindFacts, Screening]]:
    """The facts and the screening of each record of one same find, all worked out at once: a hoard's time does not
    grow with the square. The finds with site, materials and protected checks, in the order of finding; those in a
    place without a pack are left out, because nothing can be said about them.
    """
    facts = [facts_of(find) for find in finds]
    found: dict[int, tuple[FindFacts, Screening]] = {}
    for code in {find.site.jurisdiction for find in finds} & set(pack_codes()):
        # On a border each find is judged under the law of its own place, the others counting as its company there.
        here = [replace(each, jurisdiction=code) for each in facts]
        answers = screen_same_place(here, code=code, on=at)
        for find, said, screening in zip(finds, facts, answers, strict=True):
            if find.site.jurisdiction == code:
                found[find.pk] = (said, screening)
    return found


def same_find_of(find: Find) -> list[Find]:
    """`find` alone, or all live finds of its group in the order of finding, which is the statute's (s.1(1)(d)).

    Read anew, in as many queries for a hoard as for one.
    """
    group = Find.objects.filter(pk=find.pk, group__isnull=False, withdrawn_at=None).values("group")
    rows = Find.objects.filter(Q(pk=find.pk) | Q(group__in=group, withdrawn_at=None))
    rows = rows.select_related("site", "hunt", "hole").order_by("found_at", "pk")
    rows = rows.defer("site__boundary", "hunt__gate_answer", "hunt__briefing")
    return list(rows.prefetch_related("materials", "site__protected_checks"))


TELLING = ("gold", "silver", "prehistoric", "same_find", "others_nearby", "container", "hidden")


def says_something(facts: FindFacts) -> bool:
    """Was anything said that could make a find matter: a date, precious metal, company, a container?

    "It is not a coin" alone says nothing of the kind: most of what is dug up is not.
    """
    dated = facts.made_from is not None or facts.made_to is not None or facts.made_on is not None
    return (
        dated
        or facts.precious_pct_high is not None
        or any(getattr(facts, name) is Tri.YES for name in TELLING)
    )


def rests_on_facts(duty: DutyFound, facts: FindFacts) -> bool:
    """Is a test met, or left open by something that was said? Not: open only because nobody has answered."""
    if duty.weight is not Weight.TEST:
        return False
    return duty.strength is Strength.DUTY or (bool(duty.why) and says_something(facts))


def weighty(screening: Screening, facts: FindFacts) -> DutyFound | None:
    """The first test that is met, or that what was said leaves open: it opens a case and locks the findspot.

    One that is open only because nothing was said yet asks its questions first (the page and Today show them);
    a pure matter of judgement asks its question and opens nothing by itself.
    """
    return next((duty for duty in screening.duties if rests_on_facts(duty, facts)), None)


def screen_find(find: Find, *, by: User | None, at: datetime) -> ScreeningRecord | None:
    """Screen `find` with its group and keep the record, and one for each of the others whose answer it changes.

    Locks and opens or refreshes the case where something may be owed. Call inside a transaction. None where no
    pack holds in its place: that is said, and is never "no duty".
    """
    return _keep(same_find_of(find), anew={find.pk}, by=by, at=at).get(find.pk)


def screen_group(find: Find, *, by: User | None, at: datetime) -> dict[int, ScreeningRecord]:
    """Screen every find of the group of `find` and keep a record of each. Call inside a transaction."""
    finds = same_find_of(find)
    return _keep(finds, anew={each.pk for each in finds}, by=by, at=at)


@dataclass(frozen=True, slots=True)
class Judged:
    """One find of the same find with its facts, its answer, and what is kept of it."""

    find: Find
    facts: FindFacts
    screening: Screening
    row: ScreeningRecord
    before: ScreeningRecord | None

    @property
    def changed(self) -> bool:
        return self.before is None or Screening.from_dict(self.before.result) != self.screening

    @property
    def duty(self) -> DutyFound | None:
        return weighty(self.screening, self.facts)


def _keep(
    finds: Sequence[Find], *, anew: set[int], by: User | None, at: datetime
) -> dict[int, ScreeningRecord]:
    """Keep the records of the finds in `anew`, and of those whose answer changed; then lock and open the case."""
    before, answers = latest_of(finds), judge_together(finds, at=at)
    judged = [
        Judged(find, *answers[find.pk], screening_row(find, *answers[find.pk], at), before.get(find.pk))
        for find in finds
        if find.pk in answers
    ]
    kept = [each for each in judged if each.find.pk in anew or each.changed]
    ScreeningRecord.objects.bulk_create(each.row for each in kept)
    mark_judged(finds, kept)
    for find in finds:
        # What must stop everything stops it under any law, also where none is known.
        if find.pk in anew:
            open_stops(find, facts_of(find), by=by, at=at)
    look_into(judged, by=by, at=at)
    lapse_where_changed(finds, at=at)
    return {each.find.pk: each.row for each in judged}


def mark_judged(finds: Sequence[Find], kept: Sequence[Judged]) -> None:
    """Say on each find which packs judged it; rows that say so already are not touched, so that saves do not wait.

    Nothing judged a find in a place without a pack: its page and Today say that in words, never "no duty".
    """
    said: dict[str, list[int]] = {}
    for each in kept:
        said.setdefault(each.row.judged_by, []).append(each.find.pk)
    said[""] = [find.pk for find in finds if find.site.jurisdiction not in pack_codes()]
    for judged_by, keys in said.items():
        if keys:
            Find.objects.filter(pk__in=keys).exclude(judged_by=judged_by).update(judged_by=judged_by)


def screening_row(find: Find, facts: FindFacts, screening: Screening, at: datetime) -> ScreeningRecord:
    return ScreeningRecord(
        find=find,
        at=at,
        outcome=screening.outcome.value,
        weight=screening.weight.value if screening.weight else "",
        pack_code=screening.pack_code,
        pack_version=screening.pack_version,
        due_on=_first_due(screening),
        facts_digest=screening.facts_digest,
        result=screening.to_dict(),
        facts=facts.to_dict(),
        packs=[asdict(pack) for pack in screening.packs],
        judged_by=fingerprint(screening.pack_code),
        answered=sorted(find.facts),
    )


def latest_of(finds: Sequence[Find]) -> dict[int, ScreeningRecord]:
    newest = ScreeningRecord.objects.filter(find__in=finds).order_by().values("find").annotate(key=Max("pk"))
    rows = ScreeningRecord.objects.filter(pk__in=[row["key"] for row in newest])
    return {row.find_id: row for row in rows}


def look_into(judged: Sequence[Judged], *, by: User | None, at: datetime) -> None:
    """Where a test may be met for one, lock all of them and put all of them into one case: they were left together."""
    ended = ended_cases([each.find for each in judged])
    owing = [each for each in judged if each.duty and not (each.find.pk in ended and _settled(each))]
    if not owing:
        return
    lock_finds([each.find for each in judged], by=by, at=at)
    due_on = min(
        (day for day in (*(each.row.due_on for each in owing), _company_due(judged, owing)) if day),
        default=None,
    )
    first, duty = owing[0], owing[0].duty
    if duty is not None:
        open_case(first.find, duty, finds=[each.find for each in judged], due_on=due_on, by=by, at=at)


def _company_due(judged: Sequence[Judged], owing: Sequence[Judged]) -> date | None:
    """The first last day that the tests met by some may set for the others: an earlier coin of a pair is judged by
    what was found up to then, so that its test is open, and yet its day may come before the later coin's.
    """
    met = {duty.rule for each in owing for duty in each.screening.duties if rests_on_facts(duty, each.facts)}
    days = [
        duty.due.last_day for each in judged for duty in each.screening.duties
        if duty.rule in met and duty.due.last_day
    ]  # fmt: skip
    return min(days, default=None)


def _settled(each: Judged) -> bool:
    """Did the committee or the authority end the case knowing just this? Then it is not opened again."""
    return each.before is not None and _says(each.before) == _says(each.row)


def _says(row: ScreeningRecord) -> tuple[str, list[tuple[str, tuple[str, ...]]]]:
    """The facts judged, and which rules they touch and why; the rest of a same-find group speaks through those."""
    duties = Screening.from_dict(row.result).duties
    return row.facts_digest, [(duty.rule, duty.why) for duty in duties]


def _first_due(screening: Screening) -> date | None:
    days = [
        duty.due.last_day for duty in screening.duties if duty.weight is Weight.TEST and duty.due.last_day
    ]
    return min(days, default=None)


@transaction.atomic
def rescreen(find_id: int, *, by: User, at: datetime) -> ScreeningRecord | None:
    """Run screening again, for example after a pack changed."""
    require(by, Right.REVIEW_CASES)
    return screen_find(Find.objects.select_for_update(of=("self",)).get(pk=find_id), by=by, at=at)
