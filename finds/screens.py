"""What the pages about finds show, put together without queries in templates."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Max
from django.utils.translation import gettext_lazy as _lazy

from finds.models import Find, ScreeningRecord
from finds.points import point_of
from law.pack import UnknownJurisdictionError, pack_codes
from law.retold import all_retold
from law.screen import DutyFound, Outcome, Screening, Strength
from people.models import User
from people.rights import Right

OUTCOME_WORDS = {
    Outcome.NO_DUTY_FOUND: (_lazy("No duty found"), "open"),
    Outcome.POSSIBLE_DUTY: (_lazy("Possible duty"), "ask"),
    Outcome.DUTY: (_lazy("Duty"), "shut"),
}


@dataclass(frozen=True, slots=True)
class ScreeningShown:
    """A kept screening as a page shows it."""

    record: ScreeningRecord
    screening: Screening
    words: str
    status: str
    asked: list[str]
    duties: list[DutyFound]
    others: list[DutyFound]


def shown(record: ScreeningRecord) -> ScreeningShown:
    screening = all_retold(Screening.from_dict(record.result))
    words, status = OUTCOME_WORDS[screening.outcome]
    asked = [unknown.fact for unknown in screening.unknowns]
    heavy = [duty for duty in screening.duties if duty.why or duty.strength is Strength.DUTY]
    light = [duty for duty in screening.duties if duty not in heavy]
    return ScreeningShown(record, screening, str(words), status, asked, heavy, light)


def reader_rights(find: Find, user: User) -> dict[str, bool]:
    """What this reader may do with this find."""
    close = user.pk in {find.finder_id, find.hunt.leader_id}
    return {
        "may_change": close or user.holds(Right.SEE_ALL_FINDS),
        "may_withdraw": not find.locked and (find.finder_id == user.pk or user.holds(Right.VOID_FINDS)),
        "may_see_case": close or user.holds(Right.REVIEW_CASES),
        "may_hand_over": find.finder_id == user.pk or user.holds(Right.MOVE_CUSTODY),
        "may_group": user.holds(Right.REVIEW_CASES),
        "may_propose": find.finder_id == user.pk and user.holds(Right.LOG_HOLES),
        "may_see_worth": find.finder_id == user.pk or user.holds(Right.SETTLE),
        "may_see_screening": close or user.holds(Right.SEE_ALL_FINDS),
    }


def latest_records(finds: Iterable[Find]) -> dict[int, ScreeningRecord]:
    """The newest screening of each find by the find's primary key, in two queries; the ledger's keys rise with time."""
    rows = ScreeningRecord.objects.filter(find__in=finds).order_by().values("find")
    newest = [row["newest"] for row in rows.annotate(newest=Max("pk"))]
    return {record.find_id: record for record in ScreeningRecord.objects.filter(pk__in=newest)}


def newest_results(finds: Iterable[int]) -> dict[int, Any]:
    """What the newest screening of each find said, by the find's primary key, in one query."""
    rows = ScreeningRecord.objects.filter(find__in=finds).order_by().values("find")
    newest = rows.annotate(newest=Max("pk")).values("newest")
    return dict(ScreeningRecord.objects.filter(pk__in=newest).values_list("find", "result"))


def law_missing(find: Find) -> str:
    """Why nothing can be said about duties for a find in a place without a law pack; empty where there is one."""
    code = find.site.jurisdiction
    return "" if code in pack_codes() else str(UnknownJurisdictionError(code))


def latest_screening(find: Find, user: User) -> ScreeningShown | None:
    """The newest screening, for those who may change the find."""
    if law_missing(find) or not reader_rights(find, user)["may_see_screening"]:
        return None
    record = find.screenings.order_by("-at", "-pk").first()
    return shown(record) if record else None


def find_rows(finds: Iterable[Find], user: User) -> list[dict[str, Any]]:
    """Rows of a list: the find, where (never finer than a 1 km square for locked ones), and its first photograph."""
    rows = []
    for find in finds:
        photos = list(find.photos.all())
        point = None if find.locked else point_of(find, user)
        materials = ", ".join(str(row) for row in find.materials.all())
        rows.append(
            {"find": find, "where": point, "photo": photos[0] if photos else None, "materials": materials}
        )
    return rows
