"""A find as linked data, in the terms of the CIDOC CRM 7.1.3. docs/linked-data.md has the mapping.

Concepts of vocabularies stand as types and materials only; the finding is an activity at which the object was present.
Nothing is said of owners and keepers, and the place is what the reader may have: a point that approximates it, or the
square within which it lies somewhere. Pure apart from being told the facts.
"""

from datetime import datetime
from typing import Any

import shapely
from django.utils.timezone import localtime
from rdflib import BNode, Graph, Literal, URIRef
from rdflib.namespace import RDF, RDFS

from doors.feature import LOCKED, UNKNOWN
from doors.vocabularies import g_year
from finds.models import Find
from people.sensitivity import Precision, ShownPoint

CRM = "http://www.cidoc-crm.org/cidoc-crm/"
CONTEXT: dict[str, Any] = {
    "crm": CRM,
    "xsd": "http://www.w3.org/2001/XMLSchema#",
    "geo": "http://www.opengis.net/ont/geosparql#",
    "label": "http://www.w3.org/2000/01/rdf-schema#label",
    "id": "@id",
    "type": "@type",
}
DIMENSIONS = (
    ("weight", "weight_g", "g"),
    ("length", "length_mm", "mm"),
    ("width", "width_mm", "mm"),
    ("thickness", "thickness_mm", "mm"),
    ("diameter", "diameter_mm", "mm"),
)
NOTES = ("description", "inscription", "completeness", "context")


def record_of(
    find: Find, point: ShownPoint | None, *, address: str, reader: str, at: datetime
) -> dict[str, Any]:
    """The JSON-LD document, its context inside.

    `address` is the find's page; `point` is what finds/points.py gives the reader, or None. Materials should be loaded.
    """
    said: dict[str, Any] = {
        "@context": CONTEXT,
        "id": f"{address}#object",
        "type": "crm:E22_Human-Made_Object",
        "label": f"{find.number} {find.object_type}",
        "crm:P48_has_preferred_identifier": {
            "type": "crm:E42_Identifier",
            "crm:P190_has_symbolic_content": find.number,
        },
        "crm:P2_has_type": _concept("crm:E55_Type", find.object_type, find.object_uri),
        "crm:P45_consists_of": [
            _concept("crm:E57_Material", str(row), row.uri) for row in find.materials.all()
        ],
        "crm:P43_has_dimension": _dimensions(find),
        "crm:P44_has_condition": _condition(find.condition),
        "crm:P3_has_note": [*_notes(find), _made_for(find, point, reader, at)],
        "crm:P108i_was_produced_by": _production(find),
        "crm:P12i_was_present_at": _finding(find, point, f"{address}#finding"),
    }
    return {name: value for name, value in said.items() if value not in (None, [])}


def _concept(kind: str, label: str, uri: str) -> dict[str, Any]:
    """A term with its address in a published vocabulary; free text has none."""
    return {**({"id": uri} if uri else {}), "type": kind, "label": label}


def _dimensions(find: Find) -> list[dict[str, Any]]:
    return [
        {
            "type": "crm:E54_Dimension",
            "crm:P2_has_type": _concept("crm:E55_Type", name, ""),
            "crm:P90_has_value": {"type": "xsd:decimal", "@value": str(value)},
            "crm:P91_has_unit": {"type": "crm:E58_Measurement_Unit", "label": unit},
        }
        for name, field, unit in DIMENSIONS
        if (value := getattr(find, field)) is not None
    ]


def _condition(words: str) -> dict[str, Any] | None:
    return {"type": "crm:E3_Condition_State", "crm:P3_has_note": words} if words else None


def _notes(find: Find) -> list[str]:
    notes = [f"{name}: {said}" for name in NOTES if (said := getattr(find, name))]
    if find.count > 1:
        notes.append(f"count: {find.count}")
    if find.depth_cm is not None:
        notes.append(f"depth in the ground: {find.depth_cm} cm")
    return notes


def _made_for(find: Find, point: ShownPoint | None, reader: str, at: datetime) -> str:
    missing = LOCKED if find.locked else UNKNOWN
    finely = point.precision.value if point else missing
    return f"This record was made for {reader} on {localtime(at):%Y-%m-%d}. Place: {finely}."


def _production(find: Find) -> dict[str, Any] | None:
    """When it was made, as far as that is known; the period stands as the type of the time-span."""
    span: dict[str, Any] = {"type": "crm:E52_Time-Span"}
    if find.period:
        span["crm:P2_has_type"] = _concept("crm:E55_Type", find.period, find.period_uri)
    if find.edtf_date:
        span["crm:P3_has_note"] = f"EDTF: {find.edtf_date}"
    for name, year in (("P82a_begin_of_the_begin", find.year_from), ("P82b_end_of_the_end", find.year_to)):
        if year is not None:
            span[f"crm:{name}"] = {"type": "xsd:gYear", "@value": g_year(year)}
    return {"type": "crm:E12_Production", "crm:P4_has_time-span": span} if len(span) > 1 else None


def _finding(find: Find, point: ShownPoint | None, address: str) -> dict[str, Any]:
    day = {"type": "xsd:date", "@value": f"{localtime(find.found_at):%Y-%m-%d}"}
    span = {"type": "crm:E52_Time-Span", "crm:P82a_begin_of_the_begin": day, "crm:P82b_end_of_the_end": day}
    said = {
        "id": address,
        "type": "crm:E7_Activity",
        "crm:P2_has_type": _concept("crm:E55_Type", "finding", ""),
        "crm:P14_carried_out_by": {"type": "crm:E21_Person", "label": find.finder.name},
        "crm:P4_has_time-span": span,
    }
    return said if point is None else {**said, "crm:P7_took_place_at": _place(point)}


def _place(point: ShownPoint) -> dict[str, Any]:
    """The spot, approximated by a measured point or somewhere within a square."""
    spot: dict[str, Any] = {"type": "crm:E53_Place", "label": point.label}
    if point.precision is Precision.FULL:
        shape = _well_known(shapely.Point(point.lon, point.lat))
        near: dict[str, Any] = {"type": "crm:E53_Place", "crm:P168_place_is_defined_by": shape}
        if point.accuracy_m is not None:
            near["crm:P3_has_note"] = f"accuracy: {point.accuracy_m:g} m, 95 times of 100"
        return {**spot, "crm:P189i_is_approximated_by": near}
    return {**spot, "crm:P171_at_some_place_within": _well_known(shapely.Polygon(point.ring))}


def _well_known(shape: shapely.Geometry) -> dict[str, Any]:
    """A GeoSPARQL literal: CRS84, longitude before latitude."""
    return {"type": "geo:wktLiteral", "@value": shapely.to_wkt(shape, rounding_precision=7)}


def turtle_of(document: dict[str, Any]) -> bytes:
    """The same in Turtle, and not by way of a JSON-LD parser, which would fetch whatever is named as a context."""
    graph = Graph()
    for prefix in ("crm", "geo"):
        graph.bind(prefix, CONTEXT[prefix])
    _add_node(graph, document)
    return graph.serialize(format="turtle", encoding="utf-8")


def _add_node(graph: Graph, node: dict[str, Any]) -> URIRef | BNode:
    """The node with all that hangs on it; a plain text is a literal, a dictionary a value or another node."""
    subject = URIRef(node["id"]) if "id" in node else BNode()
    graph.add((subject, RDF.type, _named(node["type"])))
    if "label" in node:
        graph.add((subject, RDFS.label, Literal(node["label"])))
    for name, said in node.items():
        for value in (said if isinstance(said, list) else [said]) if ":" in name else ():
            graph.add((subject, _named(name), _value(graph, value)))
    return subject


def _value(graph: Graph, value: Any) -> URIRef | BNode | Literal:
    if isinstance(value, str):
        return Literal(value)
    if "@value" in value:
        return Literal(value["@value"], datatype=_named(value["type"]), normalize=False)
    return _add_node(graph, value)


def _named(name: str) -> URIRef:
    prefix, _, rest = name.partition(":")
    return URIRef(CONTEXT[prefix] + rest)
