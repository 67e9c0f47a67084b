"""The list of hazards and its scale."""

import pytest

from hunts.hazards import BY_CODE, HAZARDS, band, score


def test_the_list_names_what_clubs_assess():
    """Hazards of published club risk assessments, as gathered in facts/trade.md 2.3."""
    text = " ".join(f"{hazard.words} {hazard.control}" for hazard in HAZARDS).lower()
    named = [
        "uneven ground", "cows with calves", "reversing", "slurry", "tides", "overhead power lines", "buried cables",
        "barbed", "needles", "lead", "ordnance", "tetanus", "leptospirosis", "ticks", "treated seed", "wasps",
        "shooting", "heat", "cold", "lightning", "alone", "lifting", "trespassers",
    ]  # fmt: skip
    assert [word for word in named if word not in text] == []


def test_lightning_rule():
    """30 seconds flash to bang, then 30 minutes after the last thunder: RoSPA rule quoted in facts/trade.md 2.3."""
    assert "30 seconds" in BY_CODE["lightning"].control
    assert "30 minutes after the last thunder" in BY_CODE["lightning"].control


@pytest.mark.parametrize("hazard", HAZARDS, ids=lambda each: each.code)
def test_every_control_lowers_the_risk(hazard):
    assert score(*hazard.after) < score(*hazard.before)
    assert len(hazard.code) <= 16


def test_codes_are_unique():
    assert len(BY_CODE) == len(HAZARDS)


@pytest.mark.parametrize(("likelihood", "severity"), [(0, 3), (6, 3), (3, 0), (3, 6)])
def test_off_the_scale_names_the_value(likelihood, severity):
    with pytest.raises(ValueError, match=r"(0|6) is not on the scale; give 1 to 5"):
        score(likelihood, severity)


@pytest.mark.parametrize(
    ("points", "word"), [(1, "Low"), (7, "Low"), (8, "Medium"), (14, "Medium"), (15, "High"), (25, "High")]
)
def test_bands(points, word):
    assert band(points)[1] == word
