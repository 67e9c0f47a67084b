"""docs/asvs.md holds each requirement of ASVS 5.0.0 at levels 1 and 2 once, and what it names is there.

Source: OWASP Application Security Verification Standard 5.0.0 (May 2025), the CSV of the release
(5.0/docs_en/OWASP_Application_Security_Verification_Standard_5.0.0_en.csv in OWASP/ASVS): 345 requirements, of which
70 at level 1 and 183 at level 2.
"""

import ast
import re
from collections import Counter
from pathlib import Path
from unicodedata import normalize

import pytest

from tests.house.test_rules import CODE, _parsed

pytestmark = pytest.mark.once
ROOT = Path(__file__).resolve().parents[2]
# The level of each requirement of a section, in order.
LEVELS = {
    "1.1": "22", "1.2": "1111122223", "1.3": "112222222223", "1.4": "222", "1.5": "123",
    "2.1": "122", "2.2": "112", "2.3": "12223", "2.4": "23",
    "3.1": "3", "3.2": "113", "3.3": "12223", "3.4": "11222233", "3.5": "11122333", "3.6": "3", "3.7": "22333",
    "4.1": "12233", "4.2": "23333", "4.3": "22", "4.4": "1222",
    "5.1": "2", "5.2": "112333", "5.3": "113", "5.4": "222",
    "6.1": "122", "6.2": "111111112222", "6.3": "11223333", "6.4": "112233", "6.5": "22222333", "6.6": "2223",
    "6.7": "33", "6.8": "2222",
    "7.1": "222", "7.2": "1111", "7.3": "22", "7.4": "11222", "7.5": "223", "7.6": "22",
    "8.1": "1233", "8.2": "1123", "8.3": "133", "8.4": "23",
    "9.1": "111", "9.2": "1222",
    "10.1": "22", "10.2": "223", "10.3": "22223", "10.4": "1111122222233333", "10.5": "22222", "10.6": "22",
    "10.7": "222",
    "11.1": "2233", "11.2": "22233", "11.3": "11233", "11.4": "1222", "11.5": "23", "11.6": "23", "11.7": "33",
    "12.1": "12233", "12.2": "11", "12.3": "22223",
    "13.1": "2333", "13.2": "222223", "13.3": "2233", "13.4": "1222233",
    "14.1": "22", "14.2": "12223333", "14.3": "122",
    "15.1": "12233", "15.2": "12233", "15.3": "1222222", "15.4": "3333",
    "16.1": "2", "16.2": "22222", "16.3": "2222", "16.4": "222", "16.5": "2223",
    "17.1": "23", "17.2": "22223333", "17.3": "22",
}  # fmt: skip
TEXT = (ROOT / "docs/asvs.md").read_text(encoding="utf-8")
ROWS = [
    tuple(cell.strip() for cell in line.strip("|").split("|"))
    for line in TEXT.splitlines()
    if line[2:3].isdigit()
]
NAMED = re.compile(r"`([\w./-]+\.(?:py|md|html|toml|txt|js))`|“([^”]+)”|\"([^\"]+)\"")
HEADINGS = {line.lstrip("# ") for name in ("docs/asvs.md", "docs/accounts.md", "DEVELOPERS.md") for line in
            (ROOT / name).read_text(encoding="utf-8").splitlines() if line.startswith("#")}  # fmt: skip


def wanted() -> dict[str, str]:
    return {
        f"{key}.{n}": level
        for key, each in LEVELS.items()
        for n, level in enumerate(each, 1)
        if level in "12"
    }


def test_the_levels_are_those_of_the_release() -> None:
    assert Counter("".join(LEVELS.values())) == {"1": 70, "2": 183, "3": 92}


def test_each_requirement_stands_once_with_its_level() -> None:
    assert Counter(row[0] for row in ROWS) == Counter(wanted().keys())
    assert {row[0]: row[1] for row in ROWS} == wanted()


def test_each_has_an_answer_with_its_reason() -> None:
    assert {row[3] for row in ROWS} == {"met", "n/a", "not met"}
    assert [row[0] for row in ROWS if len(row[4]) < 4] == []


def test_what_is_met_names_what_meets_it() -> None:
    bare = [row[0] for row in ROWS if row[3] == "met" and not NAMED.search(row[4])]
    assert bare == []


def test_every_file_and_heading_that_is_named_is_there() -> None:
    gone = [
        f"{row[0]}: {path or curly or straight}"
        for row in ROWS
        for path, curly, straight in NAMED.findall(row[4])
        if (path and not (ROOT / path).exists())
        or ((curly or straight) and (curly or straight) not in HEADINGS)
    ]
    assert gone == []


def test_the_count_above_the_table_is_right() -> None:
    counts = Counter(row[3] for row in ROWS)
    said = f"{counts['met']} are met, {counts['n/a']} do not apply and {counts['not met']} are not met"
    assert said in TEXT


PYTHON = sorted(path for folder in CODE for path in (ROOT / folder).rglob("*.py"))
DANGEROUS = {"eval", "exec", "system", "popen", "Popen", "check_output", "loads_pickle", "md5", "sha1"}
MODULES = {"subprocess", "pickle", "marshal", "shelve"}
WORDS = re.compile(rf"\b(?:{'|'.join(sorted(DANGEROUS | MODULES))})\b")


def test_no_code_is_run_and_no_program_started_and_no_weak_hash_used() -> None:
    """1.2.5, 1.3.2, 1.5.2, 11.4.1."""
    wrong = []
    for path in PYTHON:
        # Python reads names in this form; where none of them stands, there is nothing to walk through.
        if not WORDS.search(normalize("NFKC", path.read_text(encoding="utf-8"))):
            continue
        for node in ast.walk(_parsed(path)):
            called = node.func if isinstance(node, ast.Call) else None
            name = getattr(called, "id", "") or getattr(called, "attr", "")
            modules = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            modules += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            if name in DANGEROUS or MODULES & set(modules):
                wrong.append(f"{path.relative_to(ROOT)}: {name or modules}")
    assert wrong == []


def test_no_script_writes_markup() -> None:
    """3.2.2, 3.5.5."""
    marks = re.compile(
        r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|window\.postMessage"
    )
    scripts = [
        *(ROOT / "static/js").rglob("*.js"),
        *(ROOT / "static/src").rglob("*.*js"),
        *(ROOT / "templates").rglob("*.js"),
    ]
    wrong = [
        f"{path.name}:{number}"
        for path in scripts
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if marks.search(re.sub(r"^\s*/?\*+ .*|//.*", "", line))
    ]
    assert wrong == []
