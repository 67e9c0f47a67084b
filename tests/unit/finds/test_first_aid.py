"""First aid goes by material and by what a thing is; dangers for people come first."""

import pytest

from finds.first_aid import MARKS, bag_line, book, care_for


def titles(*materials: str, words: str = "", last: int | None = None) -> list[str]:
    return [care.title for care in care_for(materials, words, last)]


def test_no_cleaning_before_somebody_who_knows_was_asked() -> None:
    assert book().general.startswith("Ask a conservator or finds officer before any cleaning.")


@pytest.mark.parametrize(
    ("material", "line"),
    [
        ("Iron", "Iron: dry, do not wash"),
        ("Copper alloy", "Copper alloy: dry, keep the patina"),
        ("Silver", "Silver or gold: dry, padded, do not bend"),
        ("Gold", "Silver or gold: dry, padded, do not bend"),
        ("Lead or lead alloy", "Lead: gloves, wash hands, keep dry"),
        ("Tin or pewter", "Lead: gloves, wash hands, keep dry"),
        ("Other leather", "Organic: leave the soil on, damp, cool, dark"),
        ("Bone or antler", "Dry slowly in shade, pad"),
    ],
)
def test_each_material_has_its_line(material: str, line: str) -> None:
    assert bag_line(care_for([material])) == line


def test_lead_warns_people_and_comes_first() -> None:
    cares = care_for(["Iron", "Lead or lead alloy"])
    assert [care.title for care in cares] == ["Lead, pewter and tin", "Iron"]
    assert "wash your hands" in cares[0].caution
    assert "poisonous dust" in cares[0].caution


def test_silver_and_gold_together_have_one_line() -> None:
    assert len(care_for(["Silver", "Gold"])) == 1


def test_a_dial_that_may_hold_radium_is_said_unless_it_is_too_old() -> None:
    assert titles(words="wrist watch, luminous") == ["Luminous dials"]
    assert titles(words="watch key", last=1750) == []
    assert titles(words="compass", last=1944) == ["Luminous dials"]


def test_a_syringe_is_sharp_and_a_sewing_needle_is_not_one() -> None:
    assert titles(words="syringe with needle") == ["Needles and other sharps"]
    assert titles("Copper alloy", words="sewing needle") == ["Copper alloy"]


def test_a_hoard_and_wet_things_say_so() -> None:
    assert titles("Silver", words="hoard of pennies") == [
        "A hoard, or a pot with things in it",
        "Silver and gold",
    ]
    assert titles("Other wood", words="peg, waterlogged")[0] == "Found waterlogged"


def test_nothing_known_gives_no_line() -> None:
    assert care_for(["Flint or stone"], "scraper") == ()
    assert bag_line(()) == ""


def test_every_row_says_how_firm_it_is_and_fits_a_label() -> None:
    for care in (*book().materials, *book().objects):
        assert care.mark in MARKS
        assert care.label
        assert len(care.line) <= 45
