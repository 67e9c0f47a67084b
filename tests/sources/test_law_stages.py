"""The stages after a report, against the figures that were read.

Source of the figures: the law file (facts/law-uk-ireland.md part d, and part c for Northern Ireland and Ireland), which
marks each as read in the statute [R], read in official guidance [2] or from memory [M]:

* museum's interest, 28 days from being told, silence counts as no: [2];
* disclaimed object back to the finder 28 days after owner and occupier were told, unless they object: [2];
* Northern Ireland, object held for recording up to 3 months: [2] (art 42 itself read, the counting not);
* Ireland, form returned within 7 days of getting it: National Monuments (Amendment) Act 1930 s.23, as set by 1994
  s.19: [R];
* expert report, inquest: the code of practice was not read, so no figure;
* valuation comments "28 days?" and payment "4 months?": [M], so no figure is shown.
"""

from datetime import date

import pytest

from law.model import Checked
from law.pack import load_pack, pack_codes
from law.stages import Course, courses_for, load_courses, look_at

STAGES = {stage.id: stage for course in load_courses() for stage in course.stages}
READ_FIGURES = {
    "ta-interest": (28, 0, "ta-museums-told", Checked.SECONDARY),
    "ta-disclaimed-back": (28, 0, "ta-disclaimer-notice", Checked.SECONDARY),
    "ni-back": (0, 3, "ni-held", Checked.SECONDARY),
    "ie-form-back": (7, 0, "ie-form", Checked.READ),
}
NOT_READ = [
    "ta-expert",
    "ta-inquest",
    "ta-valued",
    "ta-paid",
    "ta-review",
    "sc-paid",
    "ie-decided",
    "im-decided",
]


@pytest.mark.parametrize("stage_id", READ_FIGURES)
def test_a_limit_is_the_figure_of_the_law_file(stage_id: str) -> None:
    stage = STAGES[stage_id]
    assert stage.limit is not None
    limit = stage.limit
    assert (limit.days, limit.months, limit.after, stage.checked) == READ_FIGURES[stage_id]


def test_nothing_else_counts_days() -> None:
    counting = {stage.id for course in load_courses() for stage in course.stages if stage.limit}
    assert counting == set(READ_FIGURES)


@pytest.mark.parametrize("stage_id", NOT_READ)
def test_a_stage_whose_figure_was_not_read_has_no_days(stage_id: str) -> None:
    stage = STAGES[stage_id]
    assert (stage.limit, stage.limit_words) == (None, "no official limit read")


@pytest.mark.parametrize("stage_id", ["ta-valued", "ta-paid"])
def test_what_is_from_memory_says_so(stage_id: str) -> None:
    stage = STAGES[stage_id]
    assert (stage.checked, stage.mark) == (Checked.MEMORY, "from memory, not checked")


@pytest.mark.parametrize("place", ["england", "wales", "northern-ireland"])
def test_the_treasure_procedure_is_that_of_england_wales_and_northern_ireland(place: str) -> None:
    assert [course.id for course in courses_for(place, {"ta-1"})] == ["treasure"]


def test_northern_ireland_has_its_own_way_for_what_is_no_treasure() -> None:
    assert [course.id for course in courses_for("northern-ireland", {"ni-object"})] == ["ni-object"]
    assert [c.id for c in courses_for("northern-ireland", {"ni-object", "ta-2"})] == ["treasure", "ni-object"]


@pytest.mark.parametrize("place", ["denmark", "norway", "us-federal", "nowhere"])
def test_a_place_about_which_nothing_was_read_has_no_stages(place: str) -> None:
    assert courses_for(place, {"ta-1"}) == ()


def test_wreck_alone_does_not_go_through_the_treasure_procedure() -> None:
    assert courses_for("england", {"wreck", "ordnance"}) == ()


def treasure() -> Course:
    return courses_for("england", {"ta-1"})[0]


@pytest.mark.parametrize(
    ("told", "last"),
    [
        (
            date(2026, 5, 1),
            date(2026, 5, 29),
        ),  # 28 days after the day itself: the same weekday, four weeks on
        (date(2028, 2, 1), date(2028, 2, 29)),  # a leap year
        (date(2027, 2, 1), date(2027, 3, 1)),
        (date(2026, 12, 10), date(2027, 1, 7)),
    ],
)
def test_the_museums_28_days_run_from_being_told(told: date, last: date) -> None:
    looks = {look.stage.id: look for look in look_at(treasure(), {"ta-museums-told": told}, date(2026, 1, 1))}
    assert (looks["ta-interest"].due, looks["ta-interest"].reached) == (last, None)
    assert looks["ta-disclaimed-back"].due is None  # its own notice was not given yet


@pytest.mark.parametrize(
    ("held", "back"),
    [(date(2026, 1, 15), date(2026, 4, 15)), (date(2026, 11, 30), date(2027, 2, 28))],
)
def test_three_months_end_on_the_same_day_of_the_month_or_its_last(held: date, back: date) -> None:
    course = courses_for("northern-ireland", {"ni-object"})[0]
    assert look_at(course, {"ni-held": held}, None)[2].due == back


@pytest.mark.parametrize(
    ("today", "late"), [(date(2026, 5, 28), False), (date(2026, 5, 29), False), (date(2026, 5, 30), True)]
)
def test_a_stage_is_late_on_the_day_after_its_last(today: date, late: bool) -> None:
    looks = look_at(treasure(), {"ta-museums-told": date(2026, 5, 1)}, None)
    interest = next(look for look in looks if look.stage.id == "ta-interest")
    assert interest.is_late(today) is late


def test_a_stage_that_was_reached_is_never_late() -> None:
    days = {"ta-museums-told": date(2026, 5, 1), "ta-interest": date(2026, 7, 1)}
    looks = look_at(treasure(), days, None)
    assert not any(look.is_late(date(2027, 1, 1)) for look in looks)


def test_the_report_is_a_stage_of_its_own() -> None:
    first = look_at(treasure(), {}, date(2026, 4, 2))[0]
    assert (first.stage.is_report, first.reached, first.stage.limit) == (True, date(2026, 4, 2), None)


def test_every_course_starts_with_the_report_and_names_packs_that_ship() -> None:
    for course in load_courses():
        assert course.stages[0].is_report
        assert set(course.places) <= set(pack_codes())
        for place in course.places:
            assert course.rules <= {rule.id for rule in load_pack(place).rules}
