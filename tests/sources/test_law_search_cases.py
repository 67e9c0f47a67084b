"""May we search at all? Cases of each pack's search rules, each beside its clause."""

from datetime import date

import pytest

from law.pack import load_pack, pack_codes
from law.search import Effect, PlaceFacts, search_answers, search_rules
from law.tri import Tri

Y, N, U = Tri.YES, Tri.NO, Tri.UNKNOWN
SHUT, ASK = Effect.SHUT, Effect.ASK
DAY = date(2026, 3, 10)

# A field of which everything is known and nothing stands in the way.
CLEAR = {name: N for name in PlaceFacts.__slots__ if name in PlaceFacts.__dataclass_fields__}
for name in ("on", "licences", "depth_cm", "distance_m", "land_status"):
    CLEAR.pop(name)
CLEAR |= {"detecting": Y, "digging": Y, "carrying": Y, "owner_leave": Y, "on": DAY}
CLEAR |= {"depth_cm": 25.0, "distance_m": 500.0, "land_status": "private"}

# Each row holds the pack, the clause, the facts, the licences held, and the effect expected of each rule.
CASES = [
    ("england", "no licence on ordinary private land", {}, (), {}),
    ("england", "AMAA 1979 s.42(1)", {"protected_place": Y}, (), {"protected": SHUT}),
    ("england", "AMAA 1979 s.42(1), consent held", {"protected_place": Y}, ("section-42",), {}),
    ("england", "AMAA 1979 s.42(2)(b)", {"importance_area": Y}, (), {"protected": SHUT}),
    ("england", "AMAA 1979 s.42, status not known", {"protected_place": U}, (), {"protected": ASK}),
    (
        "england",
        "CROW Act 2000 Sch 2 para 1(k)",
        {"open_access": Y, "owner_leave": N},
        (),
        {"open-access": ASK},
    ),
    ("england", "PMRA 1986 ss.1-2", {"military_crash": Y}, (), {"military-crash": SHUT}),
    ("england", "agri-environment terms (guidance)", {"agri_agreement": Y}, (), {"agreement": ASK}),
    ("england", "tenancy terms (guidance)", {"tenanted": Y}, (), {"tenanted": ASK}),
    ("england", "nature sites (guidance)", {"nature_reserve": Y}, (), {"nature": ASK}),
    ("england", "nature sites (guidance), nothing dug", {"nature_reserve": Y, "digging": N}, (), {}),
    ("england", "Crown foreshore (guidance)", {"foreshore": Y}, (), {"foreshore": ASK}),
    ("england", "owner's byelaws (from memory)", {"public_body_land": Y}, (), {"public-body": ASK}),
    ("wales", "HEWA 2023 s.60(2)", {"protected_place": Y}, (), {"protected-2023": SHUT}),
    (
        "wales",
        "AMAA 1979 s.42 to 2024-11-03",
        {"protected_place": Y, "on": date(2024, 11, 3)},
        (),
        {"protected-1979": SHUT},
    ),
    ("wales", "HEWA 2023 s.60 drops the areas", {"importance_area": Y}, (), {}),
    ("northern-ireland", "NIO 1995 art 41", {}, (), {"dig-licence": SHUT}),
    ("northern-ireland", "NIO 1995 art 41, licence held", {}, ("article-41",), {}),
    ("northern-ireland", "NIO 1995 art 41, field-walking", {"digging": N}, (), {}),
    (
        "northern-ireland",
        "NIO 1995 art 29(1), possession",
        {"protected_place": Y, "digging": N, "detecting": N},
        (),
        {"protected": SHUT},
    ),
    (
        "northern-ireland",
        "Crown foreshore (guidance); art 41",
        {"foreshore": Y},
        (),
        {"dig-licence": SHUT, "foreshore": ASK},
    ),
    ("northern-ireland", "tenancy terms (guidance)", {"tenanted": Y, "digging": N}, (), {"tenanted": ASK}),
    ("scotland", "AMAA 1979 s.42 (guidance)", {"protected_place": Y}, (), {"protected": SHUT}),
    ("scotland", "nature sites (guidance)", {"nature_reserve": Y}, (), {"nature": ASK}),
    ("scotland", "owner's byelaws (from memory)", {"public_body_land": Y}, (), {"public-body": ASK}),
    ("scotland", "tenancy terms (guidance)", {"tenanted": Y}, (), {"tenanted": ASK}),
    ("scotland", "Land Reform Act 2003 s.9(e)", {"owner_leave": N}, (), {"access-rights": ASK}),
    ("ireland", "1987 s.2(1)(b); 1930 s.26", {}, (), {"detector-consent": SHUT, "dig-licence": SHUT}),
    ("ireland", "1987 s.2(1)(b); 1930 s.26, both held", {}, ("ie-detection", "ie-excavation"), {}),
    (
        "ireland",
        "1987 s.2(1)(a)(iv), detector in the car boot",
        {"recorded_monument": Y, "detecting": N, "digging": N},
        (),
        {"monument": SHUT},
    ),
    (
        "isle-of-man",
        "trustees' consent (from memory, so never shut)",
        {"protected_place": Y},
        (),
        {"protected": ASK},
    ),
    ("sweden", "2:18, owner agrees, no permit", {}, (), {"use-permit": SHUT}),
    (
        "sweden",
        "2:19, permit to find Viking coins",
        {"for_ancient_finds": Y},
        ("se-detector",),
        {"ancient-purpose": SHUT},
    ),
    ("sweden", "2:18, permit held for a lost ring", {}, ("se-detector",), {}),
    (
        "sweden",
        "2:18, carried across a grave field",
        {"detecting": N, "digging": N, "ancient_site": Y},
        (),
        {"carrying": SHUT},
    ),
    (
        "sweden",
        "2:6 and 2:12, digging in a grave field without a detector",
        {"detecting": N, "carrying": N, "ancient_site": Y},
        (),
        {"remains": SHUT},
    ),
    (
        "sweden",
        "2:18, carried on a public road across it",
        {"detecting": N, "digging": N, "ancient_site": Y, "public_road": Y},
        (),
        {},
    ),
    ("norway", "ss.3 and 6, 4.9 m from the edge", {"distance_m": 4.9}, (), {"monument": SHUT}),
    ("norway", "ss.3 and 6, exactly 5 m", {"distance_m": 5.0}, (), {"monument": SHUT}),
    ("norway", "ss.3 and 6, 5.1 m", {"distance_m": 5.1}, (), {}),
    ("norway", "ss.3 and 6, distance not known", {"distance_m": None}, (), {"monument": ASK}),
    ("norway", "guideline: plough layer", {"below_plough_layer": Y}, (), {"plough-layer": SHUT}),
    ("netherlands", "BEA 2.2(1), 25 cm", {}, (), {}),
    ("netherlands", "BEA 2.2(1), exactly 30 cm", {"depth_cm": 30.0}, (), {}),
    ("netherlands", "BEA 2.2(1), 31 cm", {"depth_cm": 31.0}, (), {"depth": SHUT}),
    ("netherlands", "BEA 2.2(1), depth not known", {"depth_cm": None}, (), {"depth": ASK}),
    ("netherlands", "BEA 2.2(2)a, 5 cm", {"protected_place": Y, "depth_cm": 5.0}, (), {"national": SHUT}),
    ("netherlands", "BEA 2.2(2)b", {"draft_designation": Y}, (), {"national": SHUT}),
    ("netherlands", "BEA 2.2(2)b, designation refused", {"draft_designation": N}, (), {}),
    ("netherlands", "BEA 2.2(2)c-d", {"local_protection": Y}, (), {"local-monument": SHUT}),
    ("netherlands", "BEA 2.2(2)e", {"excavation_terrain": Y}, (), {"excavation": SHUT}),
    ("netherlands", "BEA 2.2(5)", {"local_ban": Y}, (), {"municipal-ban": SHUT}),
    ("netherlands", "EW 5.1: magnet in a canal", {"under_water": Y}, (), {"under-water": SHUT}),
    ("denmark", "ML 29f, 1.9 m", {"distance_m": 1.9}, (), {"monument-edge": SHUT}),
    ("denmark", "ML 29f, exactly 2.0 m", {"distance_m": 2.0}, (), {"monument-edge": SHUT}),
    ("denmark", "ML 29f, 2.1 m", {"distance_m": 2.1}, (), {}),
    ("denmark", "access order s.28, beach", {"beach_or_uncultivated": Y}, (), {"beach-forest": SHUT}),
    (
        "denmark",
        "State forest, no fresh recommendation",
        {"state_nature_land": Y},
        (),
        {"state-nature": SHUT},
    ),
    ("denmark", "State forest, recommendation held", {"state_nature_land": Y}, ("dk-recommendation",), {}),
    ("denmark", "guidance: plough layer", {"below_plough_layer": Y}, (), {"plough-layer": SHUT}),
    ("us-federal", "36 CFR 2.1(a)(7), in hand", {"land_status": "national_park"}, (), {"park": SHUT}),
    (
        "us-federal",
        "36 CFR 2.1(a)(7), packed",
        {"land_status": "national_park", "packed": Y, "detecting": N},
        (),
        {},
    ),
    ("us-federal", "36 CFR 261.9", {"land_status": "national_forest"}, (), {"forest": ASK}),
    ("us-federal", "16 USC 470ee(a), tribal land", {"land_status": "tribal"}, (), {"federal": SHUT}),
    ("us-federal", "16 USC 470kk(c), private ranch", {}, (), {}),
    (
        "us-federal",
        "land status not known",
        {"land_status": "unknown"},
        (),
        {"park": ASK, "forest": ASK, "federal": ASK},
    ),
    ("us-washington", "RCW 27.53.060, private midden", {"ancient_site": Y}, (), {"site": SHUT}),
    ("us-washington", "RCW 27.53.060(4), permit carried", {"ancient_site": Y}, ("wa-archaeology",), {}),
    ("us-washington", "RCW 27.53.060, is it a site?", {"ancient_site": U}, (), {"site": ASK}),
    ("us-florida", "267.13(1), state park", {"land_status": "state"}, (), {"state-land": SHUT}),
    ("us-florida", "267.13(1), landmark zone", {"landmark_zone": Y}, (), {"state-land": SHUT}),
    ("us-florida", "267.13(1), private lot outside a zone", {}, (), {}),
    ("us-florida", "wet sand", {"foreshore": Y}, (), {"wet-sand": ASK}),
]


@pytest.mark.parametrize(
    ("code", "clause", "facts", "licences", "expected"), CASES, ids=lambda value: str(value)[:40]
)
def test_search_case_answers_as_its_clause(code, clause, facts, licences, expected):
    assert clause
    place = PlaceFacts(**{**CLEAR, **facts, "licences": frozenset(licences)})
    answers = search_answers(load_pack(code), place)
    assert {answer.code: answer.effect for answer in answers} == expected
    assert [a.effect for a in answers] == sorted((a.effect for a in answers), key=lambda e: e is not SHUT)


@pytest.mark.parametrize("code", pack_codes())
def test_place_of_which_nothing_is_known_is_never_clear(code):
    answers = search_answers(load_pack(code), PlaceFacts(on=DAY))
    assert answers
    assert any(not answer.certain or answer.effect is SHUT for answer in answers)


@pytest.mark.parametrize("code", pack_codes())
def test_every_search_rule_says_what_lifts_it_or_nothing_does(code):
    for rule in search_rules(load_pack(code)):
        assert bool(rule.lifted_by) == bool(rule.lifted_words)
        assert rule.clause
