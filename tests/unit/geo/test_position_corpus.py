"""Every usual way of writing a position lands on its place; every broken one is refused with the words it
needs.
"""

import tomllib
from pathlib import Path

import pytest

from geo.areas import Country
from geo.errors import PositionError
from geo.measure import GEOD
from geo.position import parse_position

CORPUS = tomllib.loads((Path(__file__).parent / "position_corpus.toml").read_text(encoding="utf-8"))
GOOD = [(form, group) for group in CORPUS["good"] for form in group["forms"]]
BAD = [(text, group) for group in CORPUS["bad"] for text in group["forms"]]


def country_of(group: dict) -> Country | None:
    return Country(group["country"]) if "country" in group else None


def test_the_corpus_holds_more_than_a_hundred_forms_of_each_kind_together():
    assert len(GOOD) >= 100
    assert len(BAD) >= 60


@pytest.mark.parametrize(("form", "group"), GOOD, ids=[form[0] for form, _ in GOOD])
def test_good_form_lands_on_its_place(form, group):
    text, resolution_m, *about = form
    found = parse_position(text, country=country_of(group))
    lat, lon = CORPUS["places"][group["place"]]
    _, _, off_m = GEOD.inv(lon, lat, found.lon, found.lat)
    reach = 4.0 if about == ["off"] else 0.75  # "off": a tile beside the place, to tell the four apart
    assert off_m <= max(reach * resolution_m, 1.5)
    assert found.system == group["system"]
    if about in ([], ["off"]):
        assert found.resolution_m == pytest.approx(resolution_m, rel=1e-3)
    assert found.text == text.strip()


@pytest.mark.parametrize(("text", "group"), BAD, ids=[f"{g['says']}: {t}" for t, g in BAD])
def test_bad_form_is_refused_with_the_value_and_a_remedy(text, group):
    typed = "TA 1234 5678 " * 400 if text == "@long" else text
    with pytest.raises(PositionError) as caught:
        parse_position(typed, country=country_of(group))
    assert group["says"] in str(caught.value)
    assert caught.value.value is not None
    assert caught.value.remedy
    assert str(caught.value).endswith(".")
