"""One season on real pages: secretary, leader, members, committee and landholder, each in a browser of their own."""

from tests.browser.conftest import Opener
from tests.browser.season import start
from tests.browser.season_end import play


def test_a_season_from_the_first_permission_to_the_landholders_answer(page_of: Opener) -> None:
    play(start(page_of, javascript=True))
