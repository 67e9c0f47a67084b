"""The years of periods against what was published.

England: FISH, HE_Periods1_20260408.csv (github.com/heritage-standards/fish, static/2026/csv_files), MIN_DATE and
MAX_DATE, read November 2026. Identifiers: the FISH periods list of 11 October 2021 as copied in
github.com/cbinding/rematch2. Other nations: the project's trade notes 5.4, rows marked R (read in the source named
there) or M (from memory or common practice); where a source gives two years the wider one stands.
"""

import pytest

from finds.periods import scheme_for

ENGLAND = [
    ("Palaeolithic", -1000000, -10000, "PA"),
    ("Mesolithic", -10000, -4000, "ME"),
    ("Neolithic", -4000, -2200, "NE"),
    ("Bronze Age", -2600, -700, "BA"),
    ("Early Bronze Age", -2600, -1600, "EBA"),
    ("Middle Bronze Age", -1600, -1200, "MBA"),
    ("Late Bronze Age", -1200, -700, "LBA"),
    ("Iron Age", -800, 43, "IA"),
    ("Early Iron Age", -800, -300, "EIA"),
    ("Middle Iron Age", -300, -100, "MIA"),
    ("Late Iron Age", -100, 43, "LIA"),
    ("Roman", 43, 410, "RO"),
    ("Early medieval", 410, 1066, "EM"),
    ("Medieval", 1066, 1540, "MD"),
    ("Post-medieval", 1540, 1901, "PM"),
]
WITHOUT_NUMBER = [
    ("Viking", 800, 1050), ("Tudor", 1485, 1603), ("Stuart", 1603, 1714), ("Georgian", 1714, 1830),
    ("Victorian", 1837, 1901),
]  # fmt: skip
READ = {
    "wales": [
        ("Palaeolithic", -800000, -12000), ("Mesolithic", -12000, -4400), ("Neolithic", -4400, -2300),
        ("Bronze Age", -2300, -700), ("Iron Age", -700, 43), ("Roman", 43, 410), ("Early medieval", 410, 1066),
        ("Medieval", 1066, 1536), ("Post-medieval", 1536, 1750), ("Industrial", 1750, 1899), ("Modern", 1900, None),
    ],
    "ireland": [
        ("Mesolithic", -8000, -4000), ("Neolithic", -4000, -2200), ("Bronze Age", -2500, -500), ("Iron Age", -600, 400),
        ("Early medieval", 400, 1200), ("Viking", 800, 1169), ("Medieval", 1169, 1550), ("Early modern", 1500, 1700),
        ("Modern", 1700, None),
    ],
    "scotland": [
        ("Copper Age", -2450, -2200), ("Early Bronze Age", -2200, -1550), ("Middle Bronze Age", -1550, -1150),
        ("Late Bronze Age", -1150, -800), ("Iron Age", -800, 400),
    ],
    "denmark": [
        ("Mesolithic", -9000, -3900), ("Neolithic", -3900, -1700), ("Bronze Age", -1800, -500),
        ("Roman Iron Age", 1, 400), ("Germanic Iron Age", 400, 800), ("Viking Age", 750, 1050),
        ("Medieval", 1050, 1536),
    ],
}  # fmt: skip


@pytest.mark.parametrize(("label", "first", "last", "number"), ENGLAND, ids=[row[0] for row in ENGLAND])
def test_england_follows_the_published_list(label: str, first: int, last: int, number: str) -> None:
    period = scheme_for("england").period(label)
    assert (period.first, period.last, period.mark) == (first, last, "R")
    assert period.uri == f"http://purl.org/heritagedata/schemes/eh_period/concepts/{number}"


@pytest.mark.parametrize(("label", "first", "last"), WITHOUT_NUMBER)
def test_a_period_whose_number_was_not_seen_has_none(label: str, first: int, last: int) -> None:
    period = scheme_for("england").period(label)
    assert (period.first, period.last, period.uri) == (first, last, "")


@pytest.mark.parametrize(
    ("nation", "label", "first", "last"),
    [(nation, *row) for nation, rows in READ.items() for row in rows],
)
def test_the_other_nations_follow_what_was_read(
    nation: str, label: str, first: int, last: int | None
) -> None:
    period = scheme_for(nation).period(label)
    assert (period.first, period.last, period.mark) == (first, last, "R")


def test_northern_ireland_uses_the_periods_of_the_island() -> None:
    assert scheme_for("northern-ireland") == scheme_for("ireland")
