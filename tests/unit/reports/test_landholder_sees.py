"""What each capacity lets a landholder see: the table, read aloud."""

import pytest

from permissions.terms.model import Capacity
from reports.landholder_sees import ALL, DATES_ONLY, TABLE, Sees

# trade.md 1.1 (common practice): owner and occupier decide; a sporting tenant, and who is informed only, are told.
EXPECTED = {
    Capacity.OWNER: "people holes ground crops finds decides",
    Capacity.OCCUPIER: "people holes ground crops finds decides",
    Capacity.SPORTING_TENANT: "people holes",
    Capacity.INFORMED_ONLY: "",
}


@pytest.mark.parametrize("capacity", EXPECTED)
def test_each_capacity_sees_what_the_table_says(capacity: Capacity) -> None:
    names = Sees.__dataclass_fields__
    assert " ".join(name for name in names if getattr(TABLE[capacity], name)) == EXPECTED[capacity]


def test_every_capacity_but_the_agent_has_a_row() -> None:
    assert set(TABLE) == set(Capacity) - {Capacity.AGENT}


def test_two_capacities_see_what_either_sees() -> None:
    assert Sees(holes=True) | Sees(people=True) == Sees(people=True, holes=True)
    assert ALL | DATES_ONLY == ALL
    assert DATES_ONLY | DATES_ONLY == DATES_ONLY
