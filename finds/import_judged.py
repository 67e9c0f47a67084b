"""Rows of old finds judged on their outings: the same for the look, where these are still to come, and for the save."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from finds.csv_read import Table
from finds.import_ground import ComingHunt
from finds.import_outings import Asked, with_hunts
from finds.import_plan import Plan as FindPlan
from finds.import_rows import plan_rows
from hunts.models import Hunt
from people.models import User
from web.tables.match import Matched
from web.tables.rows import Problem


@dataclass
class Judged:
    """The finds as they would be, and the outings that would be entered for them."""

    plan: FindPlan
    entered: list[Hunt]


def judge_old_finds(
    matched: Matched,
    asked: Asked,
    answers: Mapping[str, Any],
    coming: Sequence[ComingHunt],
    entered: list[Hunt],
    *,
    by: User,
    at: datetime,
) -> Judged:
    """Judge the rows on the outings that they ask for, entered already or only `coming`."""
    order = str(answers.get("day_order", ""))
    failed = {problem.line for problem in asked.problems}
    rows = [row for row in with_hunts(matched.rows, asked.outings) if row.line not in failed]
    columns = {"hunt", *(key for row in rows for key in row.cells)}
    table = Table("", True, "", tuple(sorted(columns | {"object"})), tuple(rows))
    plan = plan_rows(table, by=by, at=at, order=order, coming=coming)
    problems = [*matched.problems, *asked.problems, *plan.problems]
    plan.problems = sorted((_named(p, matched.headers) for p in problems), key=lambda problem: problem.line)
    return Judged(plan, entered)


def _named(problem: Problem, headers: Mapping[str, str]) -> Problem:
    """The problem under the name that the column has in the file."""
    column = headers.get(problem.column, problem.column)
    return Problem(problem.line, column, problem.value, problem.words)
