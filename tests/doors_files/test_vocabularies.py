"""Word lists as SKOS: read by rdflib's parsers, held against the integrity conditions of the SKOS Reference.

Source: SKOS Simple Knowledge Organization System Reference, W3C Recommendation 18 August 2009, conditions S9, S13, S14,
S27, S37, S46.
"""

import json
from itertools import combinations

import pytest
from rdflib import Dataset, Graph
from rdflib.compare import isomorphic
from rdflib.namespace import RDF, SKOS, TIME, XSD

from doors.vocabularies import g_year, graph_of, slug, word_lists, written
from finds.periods import schemes
from finds.vocabularies import terms_of

pytestmark = pytest.mark.once
ADDRESS = "https://club.example/open/words/"
LISTS = word_lists()
# rdflib 7.6's own JSON-LD parser asks for what the same release calls deprecated.
parses_json_ld = pytest.mark.filterwarnings("ignore::DeprecationWarning:rdflib")


def turtle_of(name: str) -> Graph:
    return Graph().parse(data=written(graph_of(LISTS[name], ADDRESS + name), "ttl"), format="turtle")


@pytest.mark.parametrize("name", LISTS)
def test_each_list_keeps_the_conditions_of_skos(name: str) -> None:
    graph = turtle_of(name)
    (scheme,) = graph.subjects(RDF.type, SKOS.ConceptScheme)
    concepts = set(graph.subjects(RDF.type, SKOS.Concept))
    assert len(concepts) == LISTS[name].size > 0
    assert scheme not in concepts  # S9
    for concept in concepts:
        assert set(graph.objects(concept, SKOS.inScheme)) == {scheme}
        assert len(list(graph.objects(concept, SKOS.prefLabel))) == 1  # S14: one a language
        assert not set(graph.objects(concept, SKOS.prefLabel)) & set(
            graph.objects(concept, SKOS.altLabel)
        )  # S13
        assert not set(graph.objects(concept, SKOS.related)) & set(
            graph.transitive_objects(concept, SKOS.broader)
        )  # S27
        assert not set(graph.objects(concept, SKOS.exactMatch)) & set(
            graph.objects(concept, SKOS.broadMatch)
        )  # S46
        assert concept not in set(graph.transitive_objects(concept, SKOS.broader)) - {concept}
    tops = set(graph.objects(scheme, SKOS.hasTopConcept))
    assert tops == {concept for concept in concepts if (concept, SKOS.broader, None) not in graph}


@parses_json_ld
def test_turtle_and_json_ld_say_the_same_and_the_context_is_inside() -> None:
    body = written(graph_of(LISTS["periods-england"], ADDRESS + "periods-england"), "jsonld")
    assert all(value.startswith("http") for value in json.loads(body)["@context"].values())
    read = Dataset()
    read.parse(data=body, format="json-ld")
    assert isomorphic(turtle_of("periods-england"), read.default_graph)


def test_every_term_matches_the_identifier_of_its_published_concept() -> None:
    for name in ("objects", "denominations", "materials"):
        graph = turtle_of(name)
        found = {str(label): str(uri) for label, uri in _matches(graph)}
        assert found == {term.label: term.uri for term in terms_of(name)}


def _matches(graph: Graph) -> list[tuple[object, object]]:
    return [
        (graph.value(concept, SKOS.prefLabel), uri) for concept, uri in graph.subject_objects(SKOS.exactMatch)
    ]


def test_no_two_terms_share_a_name() -> None:
    for name in ("objects", "denominations", "materials"):
        slugs = [slug(term.label) for term in terms_of(name)]
        assert len(slugs) == len(set(slugs))
    for scheme in schemes():
        assert not any(slug(a.label) == slug(b.label) for a, b in combinations(scheme.periods, 2)), (
            scheme.code
        )


@pytest.mark.parametrize(
    ("year", "lexical"),
    [(-1, "0000"), (-44, "-0043"), (-1000000, "-999999"), (43, "0043"), (1066, "1066")],
)
def test_years_before_christ_are_counted_with_a_year_zero(year: int, lexical: str) -> None:
    """XSD 1.1 Part 2, 3.3.14.1 gYear and 3.3.7 dateTime, note on year 0000: 0000 is 1 BCE, -0043 is 44 BCE."""
    assert g_year(year) == lexical


def test_periods_have_their_years_and_the_wider_period() -> None:
    """Historic England periods list of 2026-04-08 (finds/periods/schemes.toml names the file): Bronze Age."""
    graph = turtle_of("periods-england")
    address = f"{ADDRESS}periods-england#"
    rows = graph.query(
        "SELECT ?part ?from ?to WHERE { ?part skos:broader ?whole ; time:hasBeginning/time:inXSDgYear ?from ; "
        "time:hasEnd/time:inXSDgYear ?to . FILTER(STRENDS(STR(?whole), '#bronze-age')) }",
        initNs={"skos": SKOS, "time": TIME},
    )
    found = {str(part).removeprefix(address): (str(first), str(last)) for part, first, last in rows}
    assert found == {
        "early-bronze-age": ("-2599", "-1599"),
        "middle-bronze-age": ("-1599", "-1199"),
        "late-bronze-age": ("-1199", "-0699"),
    }
    years = set(graph.objects(None, TIME.inXSDgYear))
    assert {year.datatype for year in years} == {XSD.gYear}


def test_early_medieval_is_no_part_of_medieval() -> None:
    """Their names end alike, their years do not lie within each other."""
    graph = turtle_of("periods-england")
    parts = {str(part).rpartition("#")[2] for part in graph.subjects(SKOS.broader)}
    assert "early-medieval" not in parts
    assert "post-medieval" not in parts
