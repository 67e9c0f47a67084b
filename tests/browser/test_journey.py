"""One season on real pages: secretary, leader, members, committee and landholder, each in a browser of their own."""

from tests.browser import season as day
from tests.browser import season_end as after
from tests.browser.conftest import Opener
from tests.browser.season import Season


def _land(season: Season) -> None:
    day.add_landholder(season)
    day.add_site(season)
    if season.javascript:
        day.draw_site(season)
    day.know_the_site(season)
    day.agree_permission(season)


def _hunt(season: Season) -> None:
    day.plan_hunt(season)
    day.sign_up(season)
    day.begin_the_day(season)
    day.log_hole(season)
    day.log_open_hole(season)
    day.record_finds(season)
    day.fill_and_check(season)
    day.close_hunt(season)


def _end(season: Season) -> None:
    after.review_case(season)
    after.issue_reports(season)
    after.make_link(season)
    page = after.landholder_reads(season)
    after.landholder_answers(season, page)
    after.secretary_sees(season)


def test_a_season_from_the_first_permission_to_the_landholders_answer(page_of: Opener) -> None:
    season = day.start(page_of, javascript=True)
    _land(season)
    _hunt(season)
    _end(season)


def test_the_same_season_without_javascript(page_of: Opener) -> None:
    season = day.start(page_of, javascript=False)
    _land(season)
    _hunt(season)
    _end(season)
