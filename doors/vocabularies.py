"""The word lists as SKOS: every list a concept scheme, every term a concept, periods with their years.

Source: SKOS Reference, W3C Recommendation 18 August 2009; Time Ontology in OWL, W3C 2022. Years are xsd:gYear, counted
as XSD 1.1 and ISO 8601 do, where 0000 is 1 BC; the lists here count without a year 0.
"""

import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import override
from rdflib import BNode, Graph, Literal, Namespace, URIRef
from rdflib.namespace import DCTERMS, RDF, SKOS, TIME, XSD

from doors.feature import Words
from finds.periods import Period, Scheme, schemes
from finds.vocabularies import FOLDER, terms_of

MARKS = {
    "R": "Years as the source gives them.",
    "M": "Years from memory or common practice.",
    "D": "Years worked out from the periods beside it.",
}
TITLES = {
    "objects": _lazy("Kinds of object"),
    "denominations": _lazy("Coin denominations"),
    "materials": _lazy("Materials"),
}
PERIODS = "periods-"
CONTEXT = {"skos": str(SKOS), "dcterms": str(DCTERMS), "time": str(TIME), "xsd": str(XSD), "rdf": str(RDF)}


@dataclass(frozen=True)
class WordList:
    """One list: its name in addresses, what it is called, where it came from, how many terms it has."""

    name: str
    title: Words
    source: str
    size: int
    fill: Callable[[Graph, Namespace], None]


def word_lists() -> dict[str, WordList]:
    """Every list that the club's records use, by name."""
    lists = [_terms_list(name) for name in TITLES] + [_periods_list(scheme) for scheme in schemes()]
    return {each.name: each for each in lists}


def graph_of(words: WordList, address: str) -> Graph:
    """The list as a graph. `address` is where the list stands; a concept's is the same with its name after '#'."""
    graph = Graph()
    for prefix, known in (("skos", SKOS), ("dcterms", DCTERMS), ("time", TIME)):
        graph.bind(prefix, known)
    space, scheme = Namespace(f"{address}#"), URIRef(address)
    graph.add((scheme, RDF.type, SKOS.ConceptScheme))
    with override("en-gb"):
        graph.add((scheme, DCTERMS.title, Literal(str(words.title), "en")))
    graph.add((scheme, DCTERMS.source, Literal(words.source, "en")))
    words.fill(graph, space)
    for concept in set(graph.subjects(RDF.type, SKOS.Concept)):
        graph.add((concept, SKOS.inScheme, scheme))
        if (concept, SKOS.broader, None) not in graph:
            graph.add((scheme, SKOS.hasTopConcept, concept))
            graph.add((concept, SKOS.topConceptOf, scheme))
    return graph


def written(graph: Graph, form: str) -> bytes:
    """`form` is ttl (Turtle) or jsonld (JSON-LD with its context inside, so that nobody has to fetch one)."""
    if form == "ttl":
        return graph.serialize(format="turtle", encoding="utf-8")
    return graph.serialize(
        format="json-ld", context=CONTEXT, auto_compact=False, indent=1, sort_keys=True, encoding="utf-8"
    )


def slug(label: str) -> str:
    """A concept's name in addresses: its label in lower case with hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", label.casefold()).strip("-")


def _terms_list(name: str) -> WordList:
    data: dict[str, Any] = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    terms = terms_of(name)

    def fill(graph: Graph, space: Namespace) -> None:
        for term in terms:
            concept = space[slug(term.label)]
            graph.add((concept, RDF.type, SKOS.Concept))
            graph.add((concept, SKOS.prefLabel, Literal(term.label, "en")))
            graph.add((concept, SKOS.exactMatch, URIRef(term.uri)))

    source = f"{data['scheme']}, {data['version']}; {data['licence']}"
    return WordList(name, TITLES[name], source, len(terms), fill)


def _periods_list(scheme: Scheme) -> WordList:
    def fill(graph: Graph, space: Namespace) -> None:
        for period in scheme.periods:
            _add_period(graph, space, period, scheme)

    return WordList(PERIODS + scheme.code, scheme.name, scheme.cited, len(scheme.periods), fill)


def _add_period(graph: Graph, space: Namespace, period: Period, scheme: Scheme) -> None:
    concept = space[slug(period.label)]
    graph.add((concept, RDF.type, SKOS.Concept))
    graph.add((concept, RDF.type, TIME.Interval))
    graph.add((concept, SKOS.prefLabel, Literal(period.label, "en")))
    for note in (MARKS[period.mark], period.note):
        if note:
            graph.add((concept, SKOS.note, Literal(note, "en")))
    if period.uri:
        graph.add((concept, SKOS.exactMatch, URIRef(period.uri)))
    for relation, year in ((TIME.hasBeginning, period.first), (TIME.hasEnd, period.last)):
        if year is not None:
            instant = BNode(f"{slug(period.label)}-{'from' if relation == TIME.hasBeginning else 'to'}")
            graph.add((concept, relation, instant))
            graph.add((instant, RDF.type, TIME.Instant))
            graph.add((instant, TIME.inXSDgYear, Literal(g_year(year), datatype=XSD.gYear, normalize=False)))
    if wider := broader_of(period, scheme):
        graph.add((concept, SKOS.broader, space[slug(wider.label)]))
        graph.add((space[slug(wider.label)], SKOS.narrower, concept))


def g_year(year: int) -> str:
    """A year as historians write it (-44 is 44 BC), as xsd:gYear of XSD 1.1 ('-0043')."""
    counted = year + 1 if year < 0 else year
    return f"{'-' if counted < 0 else ''}{abs(counted):04}"


def broader_of(period: Period, scheme: Scheme) -> Period | None:
    """The period that this one is a part of: its name ends in the other's whole name, and its years lie within."""
    ends = f" {period.label.casefold()}"
    return next(
        (
            other
            for other in scheme.periods
            if other is not period
            and ends.endswith(f" {other.label.casefold()}")
            and None not in (period.first, period.last, other.first, other.last)
            and other.first <= period.first  # type: ignore[operator]
            and period.last <= other.last  # type: ignore[operator]
        ),
        None,
    )
