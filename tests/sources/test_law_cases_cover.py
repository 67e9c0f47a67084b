"""Every rule of every pack has a worked case in which it bites and one in which it is ruled out."""

from law.pack import PACKS_DIR, pack_codes
from law.reading import Reader
from tests.sources.test_law_cases import CASES, screened

LEAST_CASES = 150  # asked for by the season's list


def places_of_rules() -> dict[tuple[str, str], tuple[str, str]]:
    """(pack, rule) to (file, rule): a rule that several packs share stands in one file and needs its cases once."""
    found = {}
    for code in pack_codes():
        reader = Reader(PACKS_DIR / f"{code}.toml")
        assert reader.read() is not None
        for key, (path, _) in reader.lines.items():
            kind, _, rule = key.partition(":")
            if kind == "rule":
                found[code, rule] = (path.stem, rule)
    return found


def test_each_rule_bites_in_one_worked_case_and_is_ruled_out_in_another() -> None:
    places = places_of_rules()
    bites, out = set(), set()
    for table, case in (param.values for param in CASES):
        code = case.get("pack", table["pack"])
        expected = {*case.get("met", []), *case.get("possible", [])}
        result = screened(table, case)
        bites |= {places[code, d.rule] for d in result.duties if d.rule in expected and d.why}
        out |= {places[code, ruled.rule] for ruled in result.ruled_out}
    assert sorted(set(places.values()) - bites) == []
    assert sorted(set(places.values()) - out) == []


def test_there_are_enough_worked_cases_and_each_names_its_clause() -> None:
    assert len(CASES) >= LEAST_CASES
    assert all(case["clause"].strip() for _, case in (param.values for param in CASES))
