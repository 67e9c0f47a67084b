"""Which procedures a case goes through, which of their stages it has reached, and what is due next."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from finds.models import Case, CaseStage, Find
from finds.screens import newest_results
from finds.states import CLOCK_RUNS, CaseState
from law.retold import all_retold, retold
from law.screening import Screening
from law.stages import Course, StageLook, courses_for, first_due, look_at

WAITING = frozenset({CaseState.REPORTED, CaseState.ACKNOWLEDGED, CaseState.DECIDED})


@dataclass(frozen=True, slots=True)
class CourseLook:
    """A procedure with the stages of one case."""

    course: Course
    stages: tuple[StageLook, ...]


@dataclass(frozen=True, slots=True)
class CaseLook:
    """One case with its places, its procedures, and the day that matters next."""

    case: Case
    places: tuple[str, ...]
    courses: tuple[CourseLook, ...]

    @property
    def clock_runs(self) -> bool:
        return self.case.state in CLOCK_RUNS

    @property
    def next_stage(self) -> StageLook | None:
        if self.case.state not in WAITING:
            return None
        return first_due(look for course in self.courses for look in course.stages)

    @property
    def due(self) -> date | None:
        """The last day to report while nobody has; afterwards the official limit that ends first."""
        if self.clock_runs:
            return self.case.due_on
        stage = self.next_stage
        return stage.due if stage else None

    @property
    def due_words(self) -> str:
        if self.clock_runs:
            return _("report to %(value)s") % {"value": retold(self.case.authority) or _("the authority")}
        stage = self.next_stage
        return stage.stage.title if stage else ""

    def is_late(self, today: date) -> bool:
        return self.due is not None and self.due < today


def looks_of(cases: Sequence[Case]) -> list[CaseLook]:
    """Every case with its procedures, in five queries however many there are."""
    pairs = list(Case.finds.through.objects.filter(case__in=cases).values_list("case", "find"))
    keys = {find for _rest, find in pairs}
    places = dict(Find.objects.filter(pk__in=keys).values_list("pk", "site__jurisdiction"))
    rules = {key: _rules(result) for key, result in newest_results(keys).items()}
    reached = _reached(cases)
    found: dict[int, list[int]] = defaultdict(list)
    for case, find in pairs:
        found[case].append(find)
    return [_look(case, found[case.pk], places, rules, reached[case.pk]) for case in cases]


def _look(
    case: Case,
    finds: Sequence[int],
    places: dict[int, str],
    rules: dict[int, frozenset[str]],
    reached: dict[str, date],
) -> CaseLook:
    by_place: dict[str, set[str]] = defaultdict(set)
    for find in finds:
        by_place[places[find]] |= rules.get(find, frozenset())
    courses = {c.id: c for place, said in sorted(by_place.items()) for c in courses_for(place, said)}
    shown = tuple(
        CourseLook(all_retold(c), all_retold(look_at(c, reached, case.reported_on))) for c in courses.values()
    )
    return CaseLook(case, tuple(sorted(by_place)), shown)


def _rules(result: dict[str, object]) -> frozenset[str]:
    return frozenset(duty.rule for duty in Screening.from_dict(result).duties)


def _reached(cases: Sequence[Case]) -> dict[int, dict[str, date]]:
    """The stages each case has reached: the last row about a stage counts, and one without a day takes it back."""
    rows: dict[int, dict[str, date]] = defaultdict(dict)
    for row in CaseStage.objects.filter(case__in=cases).order_by("pk"):
        if row.on is None:
            rows[row.case_id].pop(row.stage, None)
        else:
            rows[row.case_id][row.stage] = row.on
    return rows
