"""A pack spoilt by hand anywhere: refused with file, line and what to write, and never read in part."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from law.check import check_pack
from law.pack import PACKS_DIR, PackError, pack_codes, read_pack
from tests import EVERYTHING

# What somebody might type in the place of a value; each is the wrong type for most keys.
WRONG = (
    "3",
    "true",
    '""',
    '"x"',
    "[]",
    "[1]",
    "{ x = 1 }",
    "2026-11-25T10:00:00",
    "2026-13-45",
    '"2026-11-25"',
    "nothing",
)
NEEDED = {
    "pack": ("code", "title", "version", "checked_on", "law_as_at", "tz", "caution"),
    "rule": (
        "id",
        "clause",
        "title",
        "kind",
        "when",
        "duty",
        "clock",
        "authority",
        "source",
        "checked",
        "checked_on",
    ),
    "search": ("id", "clause", "words", "effect", "when", "checked", "checked_on", "source"),
    "exclusion": ("id", "clause", "title", "when"),
    "drill": ("id", "title", "steps", "checked"),
}
ONE_LINE = re.compile(r"^(\w+) = (.*[^\[,])$")


def lines_of(code: str) -> list[str]:
    return (PACKS_DIR / f"{code}.toml").read_text(encoding="utf-8").splitlines()


def each_key(code: str) -> Iterator[tuple[int, str]]:
    """The first line of each key of each kind of table."""
    table, seen = "", set()
    for number, line in enumerate(lines_of(code)):
        table = line if line.startswith("[") else table
        match = ONE_LINE.match(line)
        if match and (table, match[1]) not in seen:
            seen.add((table, match[1]))
            yield number, match[1]


@pytest.mark.parametrize("code", ["england", "norway", "us-washington"])
def test_no_hand_edit_ends_in_anything_but_a_pack_or_a_slip_with_its_line(code: str) -> None:
    path = PACKS_DIR / f"{code}.toml"
    lines = lines_of(code)
    edits = [(number, key, wrong) for number, key in each_key(code) for wrong in WRONG]
    for number, key, wrong in edits[:: 1 if EVERYTHING else 3]:  # each key with three or four of the eleven
        text = "\n".join([*lines[:number], f"{key} = {wrong}", *lines[number + 1 :]])
        for slip in check_pack(path, text):
            assert re.match(r"[\w-]+\.toml:\d+: \S", str(slip))
            assert 1 <= slip.line <= len(lines) or slip.path != path


@pytest.mark.parametrize("code", pack_codes())
def test_each_required_key_that_is_taken_out_is_named_with_what_to_write(code: str) -> None:
    path = PACKS_DIR / f"{code}.toml"
    lines = lines_of(code)
    table, header, seen = "", 0, set()
    for number, line in enumerate(lines):
        if line.startswith("["):
            table, header = line.strip("[]"), number + 1
        match = ONE_LINE.match(line)
        if not match or match[1] not in NEEDED.get(table, ()) or (table, match[1]) in seen:
            continue
        seen.add((table, match[1]))
        slips = check_pack(path, "\n".join([*lines[:number], *lines[number + 1 :]]))
        said = [slip for slip in slips if f"{match[1]} is missing" in str(slip)]
        assert [(slip.path.name, slip.line) for slip in said] == [(path.name, header)]
        assert "write " in str(said[0])
    assert seen >= {("pack", "tz"), ("rule", "clause"), ("rule", "checked_on"), ("search", "clause")}


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "checked_on = 2026-11-25",
            'checked_on = "2026-11-25"',
            "write checked_on = 2026-11-25, without quotes",
        ),
        ("checked_on = 2026-11-25", "checked_on = 2026-11-25T09:00:00", "which is not a day"),
        ("checked_on = 2026-11-25", "checked_on = 2026-02-30", "not TOML"),
        ("checked_on = 2026-11-25", "checked_on = yesterday", "days as 2026-11-25"),
        ('clock = { kind = "asap"', "clock = { number = true", "clock cannot be read"),
        ('clock = { kind = "asap"', 'clock = { kind = "days_after", number = "14"', "number = '14'"),
        ("{ made_up_to = 1537 }", "{ made_up_to = 1537, made_before = 1650 }", "may not stand beside"),
        ("{ made_up_to = 1537 }", "{ made_up_to = 0 }", "there is no year 0"),
        ("{ made_up_to = 1537 }", '{ land_status = ["parkland"] }', "known are national_park"),
        ("{ made_up_to = 1537 }", "{ land_status = [] }", "land_status"),
        ("{ made_up_to = 1537 }", '{ age_at_least = 100, pad = "1" }', "give a whole number"),
        ("{ made_up_to = 1537 }", "{ met = [] }", "names no rule"),
    ],
)
def test_a_slip_is_told_at_its_own_line_with_the_remedy(old: str, new: str, message: str) -> None:
    path = PACKS_DIR / "norway.toml"
    text = path.read_text(encoding="utf-8")
    at = text.index(old)
    wrong = text[:at] + new + text[at + len(old) :]
    with pytest.raises(PackError, match=re.escape(message)) as refused:
        read_pack(path, wrong)
    assert refused.value.line == text[:at].count("\n") + 1


@pytest.mark.parametrize(
    "text", ['pack = "x"', "rule = 3", "rule = [1, 2]", "authority = 5", "", "[rule]\n", "[[pack]]"]
)
def test_a_file_without_proper_tables_is_refused(text: str) -> None:
    slips = check_pack(PACKS_DIR / "norway.toml", text)
    assert slips
    assert all(slip.line >= 1 for slip in slips)


def test_a_slip_in_a_part_names_the_part_and_its_line(tmp_path: Path) -> None:
    packs = shutil.copytree(PACKS_DIR, tmp_path / "packs")
    part = packs / "parts" / "treasure-act.toml"
    lines = part.read_text(encoding="utf-8").splitlines()
    number = next(i for i, line in enumerate(lines) if line.startswith("clause = "))
    part.write_text("\n".join([*lines[:number], "clause = 8", *lines[number + 1 :]]), encoding="utf-8")
    slips = check_pack(packs / "wales.toml")
    assert ("treasure-act.toml", number + 1) in {(slip.path.name, slip.line) for slip in slips}


@pytest.mark.parametrize(
    ("also", "message"),
    [
        ('["us-fedral"]', "there is no pack “us-fedral”"),
        ('["us-washington"]', "is this pack itself"),
        ('["us-federal", "us-federal"]', "stands there twice"),
        ('"us-federal"', "which is not a list"),
        ("[3]", "something other than words"),
    ],
)
def test_packs_run_beside_another_are_there_and_once(also: str, message: str) -> None:
    path = PACKS_DIR / "us-washington.toml"
    text = path.read_text(encoding="utf-8").replace('also = ["us-federal"]', f"also = {also}")
    slips = check_pack(path, text)
    assert any(message in str(slip) for slip in slips), slips
    line = next(i for i, line in enumerate(text.splitlines(), 1) if line.startswith("also"))
    assert {slip.line for slip in slips} == {line}


def test_packs_that_name_each_other_are_refused(tmp_path: Path) -> None:
    packs = shutil.copytree(PACKS_DIR, tmp_path / "packs")
    federal = packs / "us-federal.toml"
    text = federal.read_text(encoding="utf-8").replace("tz = ", 'also = ["us-florida"]\ntz = ', 1)
    federal.write_text(text, encoding="utf-8")
    assert any("names this pack in turn" in str(slip) for slip in check_pack(federal))
    assert any("names this pack in turn" in str(slip) for slip in check_pack(packs / "us-florida.toml"))


def test_the_digest_changes_with_what_a_pack_says_and_not_with_its_layout() -> None:
    path = PACKS_DIR / "norway.toml"
    text = path.read_text(encoding="utf-8")
    kept = read_pack(path, text).digest
    assert read_pack(path, "# a note\n\n" + text.replace(" = ", "  =  ", 1)).digest == kept
    assert read_pack(path, text.replace("made_up_to = 1537", "made_up_to = 1536")).digest != kept
    assert len({read_pack(PACKS_DIR / f"{code}.toml").digest for code in pack_codes()}) == len(pack_codes())
