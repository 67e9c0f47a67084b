"""A find as linked data: every statement allowed by the CIDOC CRM, and no place finer than the reader may have.

Source of classes, domains and ranges: CIDOC CRM 7.1.3 as read in the Erlangen CRM / OWL, ecrm_240920.owl
(github.com/erlangen-crm/ecrm), November 2026; P7's are those of its rule for P161. Super-classes from memory.
"""

import json
from typing import Any

import pytest
from django.urls import reverse
from rdflib import Dataset, Graph, Literal, URIRef
from rdflib.compare import isomorphic
from rdflib.namespace import RDF

from doors.linked import CONTEXT, CRM
from finds.models import FindMaterial
from people.rights import Role
from tests import make
from tests.doors_files.clients import client_of
from tests.doors_files.test_vocabularies import parses_json_ld
from tests.views.locked_place import FIND_TRACES, arranged
from tests.views.world import World, shared_world

pytestmark = pytest.mark.django_db
ABOVE = {
    "E22_Human-Made_Object": {"E1", "E18", "E19", "E22", "E24", "E70", "E71", "E72", "E77"},
    "E42_Identifier": {"E1", "E41", "E42", "E70", "E71", "E28", "E72", "E77", "E90"},
    "E55_Type": {"E1", "E28", "E55", "E70", "E71", "E77"},
    "E57_Material": {"E1", "E28", "E55", "E57", "E70", "E71", "E77"},
    "E58_Measurement_Unit": {"E1", "E28", "E55", "E58", "E70", "E71", "E77"},
    "E54_Dimension": {"E1", "E54"},
    "E3_Condition_State": {"E1", "E2", "E3"},
    "E12_Production": {"E1", "E2", "E4", "E5", "E7", "E11", "E12", "E63", "E92"},
    "E7_Activity": {"E1", "E2", "E4", "E5", "E7", "E92"},
    "E21_Person": {"E1", "E18", "E19", "E20", "E21", "E39", "E70", "E72", "E77"},
    "E52_Time-Span": {"E1", "E52"},
    "E53_Place": {"E1", "E53"},
}
# From a class to a class, or to a literal.
RULES = {
    "P2_has_type": ("E1", "E55"),
    "P3_has_note": ("E1", ""),
    "P4_has_time-span": ("E2", "E52"),
    "P7_took_place_at": ("E4", "E53"),
    "P12i_was_present_at": ("E77", "E5"),
    "P14_carried_out_by": ("E7", "E39"),
    "P43_has_dimension": ("E70", "E54"),
    "P44_has_condition": ("E18", "E3"),
    "P45_consists_of": ("E18", "E57"),
    "P48_has_preferred_identifier": ("E1", "E42"),
    "P82a_begin_of_the_begin": ("E52", ""),
    "P82b_end_of_the_end": ("E52", ""),
    "P90_has_value": ("E54", ""),
    "P91_has_unit": ("E54", "E58"),
    "P108i_was_produced_by": ("E24", "E12"),
    "P168_place_is_defined_by": ("E53", ""),
    "P171_at_some_place_within": ("E53", ""),
    "P189i_is_approximated_by": ("E53", "E53"),
    "P190_has_symbolic_content": ("E90", ""),
}


def full_world() -> World:
    """The world with a find of which everything is known."""
    world = arranged()
    type(world.find).objects.filter(pk=world.find.pk).update(
        object_type="brooch",
        object_uri="http://purl.org/heritagedata/schemes/mda_obj/concepts/96665",
        period="Roman",
        period_uri="http://purl.org/heritagedata/schemes/eh_period/concepts/RO",
        year_from=-44,
        year_to=43,
        weight_g="3.25",
        length_mm="22.0",
        depth_cm=12,
        count=2,
        condition="corroded",
        description="bow of a brooch",
        inscription="AVCISSA",
    )
    world.find.refresh_from_db()
    FindMaterial.objects.create(
        find=world.find, material="bronze", uri="http://vocab.getty.edu/aat/300010957"
    )
    return world


standing_world, world = shared_world(full_world)


def read(user: Any, find: Any, form: str = "ttl") -> Graph:
    response = client_of(user).get(reverse("doors:find_linked", args=[find.pk, form]))
    assert response.status_code == 200
    return Graph().parse(data=response.content, format="turtle") if form == "ttl" else response


def test_every_statement_is_between_classes_that_the_model_allows(world: World) -> None:
    graph = read(world.committee, world.find)
    used = set()
    for subject, name, said in graph:
        if not str(name).startswith(CRM):
            continue
        short = str(name).removeprefix(CRM)
        domain, range_ = RULES[short]
        used.add(short)
        assert domain in ABOVE[kind_of(graph, subject)], (short, kind_of(graph, subject))
        assert isinstance(said, Literal) if not range_ else range_ in ABOVE[kind_of(graph, said)], short
    assert set(RULES) - used == {"P171_at_some_place_within"}  # what a member gets instead of the point


def kind_of(graph: Graph, node: Any) -> str:
    return str(graph.value(node, RDF.type)).removeprefix(CRM)


def test_it_says_what_is_known_with_the_identifiers_of_published_concepts(world: World) -> None:
    graph = read(world.committee, world.find)
    crm = {name: URIRef(CRM + name) for name in RULES}
    (thing,) = graph.subjects(RDF.type, URIRef(CRM + "E22_Human-Made_Object"))
    assert str(thing).endswith(f"{reverse('finds:detail', args=[world.find.pk])}#object")
    assert str(graph.value(thing, crm["P2_has_type"])).endswith("mda_obj/concepts/96665")
    assert URIRef("http://vocab.getty.edu/aat/300010957") in set(graph.objects(thing, crm["P45_consists_of"]))
    span = graph.value(graph.value(thing, crm["P108i_was_produced_by"]), crm["P4_has_time-span"])
    assert str(graph.value(span, crm["P82a_begin_of_the_begin"])) == "-0043"  # 44 BC
    assert str(graph.value(span, crm["P2_has_type"])).endswith("eh_period/concepts/RO")
    weights = {str(value) for value in graph.objects(None, crm["P90_has_value"])}
    assert weights == {"3.25", "22.0"}


@parses_json_ld
def test_json_ld_says_the_same_as_turtle_with_its_context_inside(world: World) -> None:
    response = read(world.committee, world.find, "jsonld")
    assert response["Content-Type"] == "application/ld+json"
    assert json.loads(response.content)["@context"] == CONTEXT
    dataset = Dataset()
    dataset.parse(data=response.content, format="json-ld")
    assert isomorphic(dataset.default_graph, read(world.committee, world.find))


def test_a_member_gets_the_square_and_no_point(world: World) -> None:
    other = make.person(name="Ned Spit")
    graph = read(other, world.find)
    assert not list(graph.objects(None, URIRef(CRM + "P168_place_is_defined_by")))
    (square,) = graph.objects(None, URIRef(CRM + "P171_at_some_place_within"))
    assert str(square).startswith("POLYGON")


@pytest.mark.parametrize("form", ["ttl", "jsonld"])
@pytest.mark.parametrize("reader", ["member", "leader", "secretary", "committee"])
def test_the_place_of_a_locked_find_is_never_in_it(reader: str, form: str, world: World) -> None:
    """Not even for those who may read it on its page, where each look is on record."""
    response = client_of(world.reader(reader)).get(reverse("doors:find_linked", args=[world.locked.pk, form]))
    assert response.status_code == 200
    assert not FIND_TRACES.search(response.text)
    assert "withheld: locked" in response.text


def test_what_one_may_not_see_is_not_there_and_other_endings_are_nothing(world: World) -> None:
    other = client_of(make.person(Role.LEADER, name="Lyn Ness"))
    assert other.get(reverse("doors:find_linked", args=[world.locked.pk, "ttl"])).status_code == 404
    assert other.get(reverse("doors:find_linked", args=[world.find.pk, "rdf"])).status_code == 404
