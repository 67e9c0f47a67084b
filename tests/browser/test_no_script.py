"""The journey's forms, each sent with JavaScript switched off; only drawing and the device's fix need it."""

import pytest

from tests.browser.conftest import Opener
from tests.browser.season import start
from tests.browser.season_end import play


@pytest.mark.long  # tests/browser/test_set_up.py plays a first evening without JavaScript in every run
def test_the_same_season_without_javascript(page_of: Opener) -> None:
    play(start(page_of, javascript=False))
