"""Run the law pack over a find and its group, keep the answer, and lock and open a case where something may be owed."""

from collections.abc import Iterable
from datetime import date, datetime

from django.db import transaction

from finds.actions.cases import ended_case, open_case
from finds.actions.drills import open_stops
from finds.actions.locks import lock_find
from finds.legal import facts_of
from finds.models import Find, FindspotView, ScreeningRecord
from law.facts import FindFacts
from law.pack import load_pack
from law.screen import DutyFound, Screening, Strength, Weight, screen
from law.tri import Tri
from people.models import User
from people.rights import Right, require


def judge(find: Find, *, at: datetime) -> Screening:
    """Screen without keeping anything. `find` with site and materials, its group's finds likewise.

    Raises law's UnknownJurisdictionError when no pack covers the site: never "no duty".
    """
    others = []
    if find.group_id is not None:
        others = list(
            Find.objects.filter(group_id=find.group_id, withdrawn_at=None)
            .exclude(pk=find.pk)
            .select_related("site")
            .prefetch_related("materials")
        )
    pack = load_pack(find.site.jurisdiction)
    return screen(facts_of(find), group=[facts_of(other) for other in others], pack=pack, on=at)


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


def screen_find(find: Find, *, by: User | None, at: datetime) -> ScreeningRecord:
    """Screen `find`, keep the record, lock and open or refresh its case. Call inside a transaction."""
    find = Find.objects.select_related("site", "hunt", "hole").prefetch_related("materials").get(pk=find.pk)
    screening, facts = judge(find, at=at), facts_of(find)
    row = ScreeningRecord.objects.create(
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
    )
    open_stops(find, facts, by=by, at=at)
    duty = weighty(screening, facts)
    if duty is not None and not _settled(find, row):
        lock_find(find, by=by, at=at)
        open_case(find, duty, due_on=row.due_on, by=by, at=at)
    return row


def _settled(find: Find, row: ScreeningRecord) -> bool:
    """Did the committee or the authority end the case knowing just this? Then it is not opened again."""
    if ended_case(find) is None:
        return False
    before = ScreeningRecord.objects.filter(find=find).exclude(pk=row.pk).first()
    return before is not None and _says(before) == _says(row)


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
def rescreen(find_id: int, *, by: User, at: datetime) -> ScreeningRecord:
    """Run screening again, for example after a pack changed."""
    require(by, Right.REVIEW_CASES)
    return screen_find(Find.objects.select_for_update(of=("self",)).get(pk=find_id), by=by, at=at)


@transaction.atomic
def see_findspots(finds: Iterable[Find], *, by: User | None, at: datetime, where: str) -> None:
    """Record that `by` is shown the exact place of each of these locked finds on the page or file named `where`."""
    FindspotView.objects.bulk_create(FindspotView(find=find, by=by, at=at, where=where) for find in finds)
