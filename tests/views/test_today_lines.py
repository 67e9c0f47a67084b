"""Today's lines: what is said alike of several stands once with all their names, and nothing is swallowed."""

import pytest

from reports.today import Group
from reports.today_sections import Item


def item(
    title: str, words: str = "not signed out of H1", url: str = "/hunts/1/", status: str = "late"
) -> Item:
    return Item(status, title, words, url)


def lines(*items: Item) -> list[str]:
    return [line.title for line in Group("Still out", list(items), 0, "/hunts/").lines]


def test_people_of_one_hunt_share_a_line() -> None:
    assert lines(item("Ada"), item("Bo"), item("Cy, the younger")) == ["Ada, Bo, Cy, the younger"]


@pytest.mark.parametrize(
    "other",
    [
        item("Bo", words="not signed out of H2"),
        item("Bo", url="/hunts/2/"),
        item("Bo", status="soon"),
        item("Ada"),  # a second matter of the same person is a second line
    ],
)
def test_what_differs_keeps_its_own_line(other: Item) -> None:
    assert lines(item("Ada"), other) == ["Ada", other.title]


def test_a_line_begins_anew_after_another_matter() -> None:
    assert lines(item("Ada"), item("Bo", url="/hunts/2/"), item("Cy")) == ["Ada", "Bo", "Cy"]


def test_a_section_is_late_when_one_of_its_items_is() -> None:
    soon = item("Ada", status="soon")
    assert not Group("Holes", [soon], 0, "/").is_late
    assert Group("Holes", [soon, item("Bo")], 0, "/").is_late
