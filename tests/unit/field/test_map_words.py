"""Whose words the map writes where there is room for some only: the ranks that its collision test goes by."""

from tests.unit.field.phone import Phone


def test_a_site_goes_before_what_lies_on_it_and_ones_own_lane_before_all(phone: Phone) -> None:
    own, other, site, hole = phone(
        "map",
        "ranks",
        [
            {"kind": "lane", "label": "Lane 7", "word": "yours"},
            {"kind": "lane", "label": "Lane 6"},
            {"kind": "site", "label": "SF04"},
            {"kind": "hole", "label": "Hole 1", "word": "yours"},
        ],
    )
    assert own > site > other > hole


def test_lanes_of_the_reader_are_alike_so_that_the_first_to_be_drawn_the_next_one_is_written(
    phone: Phone,
) -> None:
    mine = [{"kind": "lane", "label": f"Lane {n}", "word": "van jou"} for n in (7, 8, 9)]
    assert len(set(phone("map", "ranks", mine))) == 1
