"""The end of a day in a real browser: somebody is late, the holes are walked, and only then is the hunt closed."""

import re
from datetime import time
from typing import Any

from django.utils.timezone import now
from playwright.sync_api import expect

from hunts.models import Hole, Hunt
from people.models import User
from tests import make
from tests.browser.conftest import PHONE, Opener
from tests.browser.forms import fill, press, says


def overdue(leader: User, late: User) -> Hunt:
    """A hunt of yesterday whose finish has passed, with `late` still signed in and one of their holes not filled."""
    make.club()
    hunt = make.hunt(
        leader=leader,
        state="running",
        started_at=now(),
        starts_at=time(0),
        ends_at=time(0, 1),
        on=make.days(-1),
    )
    make.attendance(hunt, late)
    make.hole(hunt, late)
    return hunt


def test_one_is_late_the_holes_are_walked_and_the_hunt_is_closed(
    page_of: Opener, leader: User, member: User, faults: Any
) -> None:
    hunt = overdue(leader, member)
    page = page_of(leader, viewport=PHONE)
    page.goto("/")
    says(page, f"not signed out of {hunt}")
    page.goto(f"/hunts/{hunt.pk}/roll-call/")
    says(page, "Late: still out after the finish")
    assert faults(page) == []
    page.goto(f"/hunts/{hunt.pk}/close/")
    expect(page.get_by_role("heading", name="Still out")).to_be_visible()
    fill(page, counted="1")
    press(page, "Close the hunt")
    assert Hunt.objects.get(pk=hunt.pk).state == "running"
    page.goto(f"/hunts/{hunt.pk}/roll-call/")
    press(page, "Sign out Mo Samphire")
    says(page, "after the finish")
    page.goto(f"/hunts/{hunt.pk}/walk/")
    assert faults(page) == []
    page.get_by_role("button", name=re.compile("^Filled.*hole 1")).click()
    page.get_by_role("button", name=re.compile("^Checked.*hole 1")).click()
    says(page, "Every hole you may see is checked")
    assert Hole.objects.get(hunt=hunt).state == "checked"
    page.goto(f"/hunts/{hunt.pk}/close/")
    fill(page, counted="1")
    press(page, "Close the hunt")
    assert Hunt.objects.get(pk=hunt.pk).state == "closed"
