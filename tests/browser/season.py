"""A season on real pages, in steps: the secretary's land, the leader's hunt, the members' day."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from django.utils.timezone import localdate
from playwright.sync_api import Page, expect

from people.models import User
from people.rights import Role
from tests import make
from tests.browser.conftest import DESK, PHONE, sign_in
from tests.browser.forms import fill, follow, letter, photograph, press, says, unfold

# A bow tie: the second and third corner swapped, so two sides cross.
CROSSED = (
    '{"type": "Polygon", "coordinates": '
    "[[[0.150, 53.600], [0.153, 53.6018], [0.153, 53.600], [0.150, 53.6018], [0.150, 53.600]]]}"
)
FIELD = (
    '{"type": "Polygon", "coordinates": '
    "[[[0.150, 53.600], [0.153, 53.600], [0.153, 53.6018], [0.150, 53.6018], [0.150, 53.600]]]}"
)
# Inside that field; OSTN15 puts 53.6007, 0.1512 at E 542448.5 N 413718.5.
TYPED_REFERENCE = "TA 42448 13718"
DEVICE = {"latitude": 53.6009, "longitude": 0.1520, "accuracy": 4}


@dataclass
class Season:
    """Who takes part, each with a page of their own, and the addresses that the steps found."""

    page_of: Callable[..., Page]
    javascript: bool
    people: dict[str, User] = field(default_factory=dict)
    pages: dict[str, Page] = field(default_factory=dict)
    urls: dict[str, str] = field(default_factory=dict)

    def fresh(self, size: Any, **options: Any) -> Page:
        """A page of a browser that nobody has signed in to."""
        return self.page_of(None, viewport=size, java_script_enabled=self.javascript, **options)

    def page(self, who: str) -> Page:
        """The page of this person, signed in at the first use. Members hold phones."""
        if who not in self.pages:
            on_phone = who.startswith("member")
            options: dict[str, Any] = (
                {"geolocation": DEVICE, "permissions": ["geolocation"], "has_touch": True} if on_phone else {}
            )
            page = self.fresh(PHONE if on_phone else DESK, **options)
            self.pages[who] = sign_in(page, self.people[who])
        return self.pages[who]


def start(page_of: Callable[..., Page], *, javascript: bool) -> Season:
    """The club with its cast."""
    make.club()
    cast = {
        "secretary": make.person(Role.SECRETARY, name="Sal Marram"),
        "leader": make.person(Role.LEADER, name="Len Groyne", phone="01632 960001"),
        "committee": make.person(Role.COMMITTEE, name="Cora Boulder"),
        "member": make.person(name="Mo Samphire", emergency_contact="Pip Samphire 01632 960002"),
        "member two": make.person(name="Tess Sandwort"),
    }
    return Season(page_of, javascript, cast)


def add_landholder(season: Season) -> None:
    page = season.page("secretary")
    page.goto("/land/landholders/")
    follow(page, "Add a landholder")
    fill(page, name="Ada Warp", email="ada@saltmere.example", phone="01632 960003")
    press(page, "Save")
    expect(page.get_by_role("heading", level=1)).to_have_text("Ada Warp")
    season.urls["landholder"] = page.url


def add_site(season: Season) -> None:
    """A crossed boundary is shown what is wrong and kept; the straight one is saved."""
    page = season.page("secretary")
    page.goto("/land/")
    follow(page, "Add a site")
    fill(page, code="SF01", name="Ox Pasture", holding="Saltmere Farm", tenure="owner_occupied")
    fill(page, gate_text="53.6001, 0.1501", hazards="A ditch along the north side.", boundary_text=CROSSED)
    press(page, "Save")
    expect(page.locator("[name=code]")).to_have_value("SF01")
    says(page, "Nothing was saved yet")
    fill(page, boundary_text=FIELD)
    press(page, "Save")
    expect(page.get_by_role("heading", level=1)).to_have_text("SF01 Ox Pasture")
    says(page, "9.8 acres")
    season.urls["site"] = page.url


def draw_site(season: Season) -> None:
    """A second field beside the first, drawn on the map with the mouse."""
    page = season.page("secretary")
    page.goto("/land/sites/add/")
    fill(page, code="SF02", name="Calf Close", tenure="owner_occupied")
    map_ = page.locator("[data-map=draw]")
    expect(map_).to_have_attribute("data-ready", "yes")
    map_.scroll_into_view_if_needed()
    box = map_.bounding_box()
    assert box
    for x, y in [(0.25, 0.25), (0.7, 0.3), (0.65, 0.75), (0.3, 0.7), (0.25, 0.25)]:
        page.mouse.move(box["x"] + box["width"] * x, box["y"] + box["height"] * y, steps=4)
        page.mouse.click(box["x"] + box["width"] * x, box["y"] + box["height"] * y)
        page.wait_for_timeout(300)  # two quick clicks would be a double click, which closes the shape
    expect(page.locator("[name=boundary_text]")).to_have_value(re.compile('"Polygon"'))
    press(page, "Save")
    expect(page.get_by_role("heading", level=1)).to_have_text("SF02 Calf Close")


def know_the_site(season: Season) -> None:
    """Who owns it, what stands on it, and that no protected place is near."""
    page = season.page("secretary")
    page.goto(season.urls["site"])
    says(page, "Shut")
    follow(page, "Record a landholder")
    fill(page, landholder="Ada Warp", capacity="owner")
    press(page, "Save")
    follow(page, "Say what is on the field")
    fill(page, on=localdate(), crop="barley stubble", effect="open", said_by="Ada Warp")
    press(page, "Save")
    follow(page, "Record a check")
    fill(page, checked_on=localdate(), result="clear", source="County map of monuments, this month")
    press(page, "Save")
    says(page, "barley stubble")
    says(page, "County map of monuments")


def agree_permission(season: Season) -> None:
    """Written down, consented with the paper, granted; then the gate is open."""
    page = season.page("secretary")
    page.goto(season.urls["site"])
    follow(page, "Write down a permission")
    fill(page, reference="P-SALT", title="Saltmere fields", starts=localdate() - timedelta(1))
    fill(page, ends=localdate() + timedelta(300), max_heads=12, depth_limit_cm=30)
    press(page, "Save")
    season.urls["permission"] = page.url
    follow(page, "Record a consent")
    fill(page, party="Ada Warp, owner", given_on=localdate(), evidence_kind="signed")
    fill(page, evidence_upload=letter())
    press(page, "Save")
    says(page, "consent.pdf")
    fill(page, why="Ada Warp signed at the kitchen table.")
    press(page, "Granted")
    page.goto(season.urls["site"])
    says(page, "Nothing stands in the way")


def plan_hunt(season: Season) -> None:
    page = season.page("leader")
    page.goto("/hunts/")
    follow(page, "Plan a hunt")
    page.locator("main ul.cards a").first.click()
    page.get_by_label("SF01 Ox Pasture").check()
    fill(page, title="First stubble", on=localdate(), starts_at="00:00", ends_at="23:59", capacity=2)
    fill(page, meeting_point="The yard at Saltmere Farm")
    press(page, "Ask the gate")
    says(page, "What the gate says")
    press(page, "Save the plan")
    season.urls["hunt"] = page.url
    follow(page, "Open for sign-up")
    press(page, "Open for sign-up")
    says(page, "is open for sign-up")


def sign_up(season: Season) -> None:
    """Two places: the leader has one, the first member the other, the second member waits."""
    for who, words in (
        ("member", "You have a place"),
        ("member two", "You are number 1 on the waiting list"),
    ):
        page = season.page(who)
        page.goto("/hunts/")
        page.locator("main table a").first.click()
        press(page, "Sign up" if who == "member" else "Join the waiting list")
        says(page, words)


def begin_the_day(season: Season) -> None:
    page = season.page("leader")
    page.goto(season.urls["hunt"])
    press(page, "Start the hunt")
    page.goto(season.urls["hunt"] + "briefing/")
    for name in ("Len Groyne", "Mo Samphire"):
        page.get_by_label(name).check()
    press(page, "They heard it")
    says(page, "2 more heard the briefing")
    page.goto(season.urls["hunt"] + "roll-call/")
    for name in ("Len Groyne", "Mo Samphire"):
        press(page, f"Sign in {name}")
    says(page, "Pip Samphire")
    page.goto(season.urls["hunt"] + "emergency-card/")
    says(page, "999")


def log_hole(season: Season) -> None:
    """At a typed grid reference, filled at once, with photographs before and after."""
    page = season.page("member")
    page.goto(season.urls["hunt"])
    follow(page, "Log a hole")
    fill(page, position_text="TA 424 1371", outcome="find", depth_cm=18)
    press(page, "Log this hole")
    says(page, "TA 424 1371")  # unequal figures: named, and kept
    fill(page, position_text=TYPED_REFERENCE, filled=True)
    fill(
        page, photo_before=photograph("before.jpg", "#6b7d3a"), photo_after=photograph("after.jpg", "#5a4a2b")
    )
    press(page, "Log this hole")
    expect(page.get_by_role("heading", level=1)).to_have_text("Hole 1")
    says(page, "TA 4244")
    expect(page.locator(".photo-grid img")).to_have_count(2)
    season.urls["hole"] = page.url


def log_open_hole(season: Season) -> None:
    """At the device's own position (typed where scripts do not run), not filled yet."""
    page = season.page("member")
    page.goto(season.urls["hunt"] + "holes/log/")
    if season.javascript:
        page.get_by_role("button", name="Use my position").click()
        says(page, "Position taken, good to 4 m.")
    else:
        fill(page, position_text="53.6009, 0.1520", typed_accuracy_m=4)
    fill(page, outcome="scrap", depth_cm=9)
    press(page, "Log this hole")
    expect(page.get_by_role("heading", level=1)).to_have_text("Hole 2")
    says(page, "Not filled")
    season.urls["open hole"] = page.url


def record_finds(season: Season) -> None:
    """A button that the law does not ask about, and silver coins that it may: a case opens and the place locks."""
    page = season.page("member")
    page.goto(season.urls["hole"])
    follow(page, "Record the find")
    fill(page, object_type="button", materials=["copper alloy"], is_coin="no", year_from=1790, year_to=1830)
    fill(page, circumstances=["none"], position_text=TYPED_REFERENCE)
    fill(page, photos=photograph("button.jpg", "#8a5a2b"))
    press(page, "Record this find")
    expect(page.locator(".photo-grid img")).to_have_count(1)
    page.goto(season.urls["hole"])
    follow(page, "Record the find")
    fill(page, object_type="pennies", count=3, is_coin="yes", materials=["silver"], silver_percent=92)
    fill(page, year_from=1205, year_to=1247, circumstances=["others_nearby"], position_text=TYPED_REFERENCE)
    fill(page, photos=photograph("pennies.jpg", "#9a9a9a"))
    press(page, "Record this find")
    says(page, "Locked while a possible duty is looked into")
    says(page, "Treasure Act 1996")
    season.urls["find"] = page.url


def fill_and_check(season: Season) -> None:
    """The digger fills the open hole with a photograph; the leader checks it."""
    page = season.page("member")
    page.goto(season.urls["open hole"])
    press(page, "It is filled")
    unfold(page, "Add photographs")
    fill(page, photos=photograph("filled.jpg", "#4a5a2b"), stage="after")
    press(page, "Add")
    expect(page.locator(".photo-grid img")).to_have_count(1)
    page = season.page("leader")
    page.goto(season.urls["open hole"])
    press(page, "Checked: well filled")
    says(page, "Checked")


def close_hunt(season: Season) -> None:
    """Refused while people are out; closed once they are back."""
    page = season.page("leader")
    page.goto(season.urls["hunt"] + "close/")
    fill(page, counted=2)
    press(page, "Close the hunt")
    says(page, "Mo Samphire")
    expect(page.locator(".error-summary")).to_contain_text("Mo Samphire")
    page.goto(season.urls["hunt"] + "roll-call/")
    for name in ("Len Groyne", "Mo Samphire"):
        press(page, f"Sign out {name}")
    page.goto(season.urls["hunt"] + "close/")
    fill(page, counted=2)
    press(page, "Close the hunt")
    says(page, "is closed")
