"""Terms: what is written in another case is the same term; what is not in a list stays free text."""

import tomllib

import pytest

from finds import vocabularies
from finds.vocabularies import FOLDER, MATERIALS, OBJECTS, labels_of, term_for, terms_of

LISTS = ("objects", "denominations", "materials")


@pytest.mark.parametrize("name", LISTS)
def test_a_list_says_where_it_comes_from(name: str) -> None:
    data = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    assert all(data[key] for key in ("scheme", "version", "retrieved", "base", "licence", "verified"))
    addresses = [term.uri for term in terms_of(name)]
    assert len(set(addresses)) == len(addresses)
    assert all(address.startswith("http://") and " " not in address for address in addresses)
    assert [term.label for term in terms_of(name)] == sorted(term.label for term in terms_of(name))


@pytest.mark.parametrize("text", ["finger ring", "Finger Ring", " FINGER  RING "])
def test_case_and_spaces_do_not_matter(text: str) -> None:
    term = term_for(text, OBJECTS)
    assert term is not None
    assert term.uri == "http://purl.org/heritagedata/schemes/mda_obj/concepts/96691"
    assert term.scheme == "FISH Archaeological Objects Thesaurus, 2021-09-21"


def test_a_denomination_is_a_term_of_nomisma() -> None:
    term = term_for("Denarius", OBJECTS)
    assert term is not None
    assert (term.uri, term.scheme) == ("http://nomisma.org/id/denarius", "Nomisma, 2026-11")


@pytest.mark.parametrize("text", ["", "finger ring, twisted", "buckleplate of a kind", "gold"])
def test_other_words_are_free_text(text: str) -> None:
    assert term_for(text, OBJECTS) is None


def test_a_material_is_no_kind_of_object() -> None:
    assert term_for("gold", MATERIALS) is not None
    assert vocabularies.MATERIALS != vocabularies.OBJECTS
    assert "penny" in labels_of(OBJECTS)
