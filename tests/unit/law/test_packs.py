"""Packs: each loads whole, a hand-edited one is refused with its line, and a place without one is an error."""

import subprocess
import sys
from datetime import date

import pytest

from law.check import check_pack, main
from law.clock import ClockKind
from law.model import Checked
from law.pack import (
    PACKS_DIR,
    PackError,
    UnknownJurisdictionError,
    load_pack,
    load_packs,
    pack_codes,
    read_pack,
)
from law.search import licences_needed

SHIPPED = {
    "denmark",
    "england",
    "ireland",
    "isle-of-man",
    "netherlands",
    "northern-ireland",
    "norway",
    "scotland",
    "sweden",
    "us-federal",
    "us-florida",
    "us-washington",
    "wales",
}


def edited(code, old, new):
    """The pack's path and its text with one hand edit, and the line where that edit stands."""
    path = PACKS_DIR / f"{code}.toml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    return path, text.replace(old, new, 1)


def edited_line(path, text):
    """The first line that the hand edit changed."""
    pairs = zip(path.read_text(encoding="utf-8").splitlines(), text.splitlines(), strict=False)
    return next(i for i, (was, now) in enumerate(pairs, 1) if was != now)


def line_of(text, header, number=1):
    """The line of the nth such table header."""
    lines = [i for i, line in enumerate(text.splitlines(), 1) if line == header]
    return lines[number - 1]


def test_shipped_packs_are_those_that_were_checked():
    assert set(pack_codes()) == SHIPPED
    assert set(load_packs()) == SHIPPED


def test_shipped_packs_have_no_slip():
    assert main([]) == 0


@pytest.mark.parametrize("code", ["jersey", "germany", "bavaria", "new-zealand", "", None])
def test_place_without_a_pack_is_an_error_and_never_no_duty(code):
    with pytest.raises(UnknownJurisdictionError, match="ask the museum"):
        load_pack(code)


@pytest.mark.parametrize(
    ("code", "old", "new", "table", "number", "message"),
    [
        (
            "sweden",
            'clause = "Kulturmiljölag (1988:950) 2:3 first point, 2:4 and 2:5"\n',
            "",
            "[[rule]]",
            1,
            "clause is missing",
        ),
        (
            "sweden",
            'clause = "Kulturmiljölag (1988:950) 2:10"',
            'clause = ""',
            "[[rule]]",
            4,
            "clause is missing",
        ),
        (
            "norway",
            '"an_object", { made_up_to = 1537 }',
            '"an_objekt"',
            "[[rule]]",
            1,
            "“an_objekt” is not a fact",
        ),
        (
            "norway",
            "{ made_before = 1650 }",
            "{ made_befor = 1650 }",
            "[[rule]]",
            2,
            "“made_befor” is not a condition",
        ),
        (
            "norway",
            "{ made_before = 1650 }",
            '{ made_before = "1650" }',
            "[[rule]]",
            2,
            "give a whole number",
        ),
        (
            "norway",
            'authority = "county"',
            'authority = "parish"',
            "[[rule]]",
            1,
            "“parish” is not in this pack",
        ),
        ("norway", 'kind = "refer"', 'kind = "ignore"', "[[rule]]", 4, "kind “ignore” is not one of"),
        (
            "norway",
            'checked = "read"',
            'checked = "hearsay"',
            "[[rule]]",
            1,
            "checked “hearsay” is not one of",
        ),
        ("norway", "judged = true", "judgd = true", "[[rule]]", 4, "judgd is not known here"),
        (
            "norway",
            'clock = { kind = "asap"',
            'clock = { kind = "soon"',
            "[[rule]]",
            1,
            "clock cannot be read",
        ),
        (
            "norway",
            'clock = { kind = "asap"',
            'clock = { kind = "days_after"',
            "[[rule]]",
            1,
            "give a number",
        ),
        ("norway", 'id = "no-coin"', 'id = "no-object"', "[[rule]]", 2, "a second rule with the same id"),
        (
            "norway",
            "checked_on = 2026-11-25\n\n[[rule]]",
            "\n[[rule]]",
            "[[rule]]",
            1,
            "checked_on is missing",
        ),
        (
            "wales",
            "from = 2024-11-04",
            "from = 2024-11-03",
            "[[rule]]",
            2,
            "overlaps “protected-consent-1979”",
        ),
        (
            "wales",
            "from = 2024-11-04",
            "from = 2024-11-06",
            "[[rule]]",
            2,
            "gap after “protected-consent-1979”",
        ),
        (
            "wales",
            "from = 2024-11-04",
            "from = 2024-11-04\nto = 2024-11-01",
            "[[rule]]",
            2,
            "ends before it starts",
        ),
        ("ireland", "effect = ", "effekt = ", "[[search]]", 1, "effekt is not known here"),
        (
            "scotland",
            '"sc-coin-group"], recorded',
            '"sc-nothing"], recorded',
            "[[rule]]",
            7,
            "no rule “sc-nothing”",
        ),
        ("england", 'tz = "Europe/London"', 'tz = "Europe/Nowhere"', "[pack]", 1, "no time zone name"),
        ("england", 'code = "england"', 'code = "albion"', "[pack]", 1, "differs from the file's name"),
        ("england", 'version = "2026.1"\n', "", "[pack]", 1, "version is missing"),
    ],
)
def test_hand_edited_pack_is_refused_with_file_and_line(code, old, new, table, number, message):
    path, text = edited(code, old, new)
    slips = check_pack(path, text)
    assert any(message in str(slip) for slip in slips), slips
    slip = next(slip for slip in slips if message in str(slip))
    about_whole_table = any(
        words in message for words in ("is missing", "second rule", "overlaps", "gap after")
    )
    line = (
        line_of(text, table, number) if about_whole_table and '= ""' not in new else edited_line(path, text)
    )
    assert (slip.path.name, slip.line) == (f"{code}.toml", line)
    assert str(slip).startswith(f"{code}.toml:{slip.line}: ")


def test_pack_that_is_not_toml_names_the_line():
    path, text = edited("norway", "[authority.police]", "[authority.police")
    with pytest.raises(PackError, match=r"norway\.toml:\d+: not TOML"):
        read_pack(path, text)


def test_day_count_from_memory_is_refused():
    path, text = edited(
        "isle-of-man",
        'clock = { kind = "asap", words = "The notice period is not checked; give notice with the other report." }',
        'clock = { kind = "days_after", number = 14, words = "Fourteen days." }',
    )
    assert any("may not count days" in str(slip) for slip in check_pack(path, text))


def test_pack_without_rules_is_refused(tmp_path):
    path = tmp_path / "atlantis.toml"
    head = 'code = "atlantis"\ntitle = "A"\nversion = "1"\nchecked_on = 2026-11-25\nlaw_as_at = "now"\n'
    path.write_text(f'[pack]\n{head}tz = "UTC"\ncaution = "Ask."\n', encoding="utf-8")
    assert {"has no [[rule]]", "has no [[search]]"} <= {
        str(slip).split(": ")[-1].split(";")[0] for slip in check_pack(path)
    }


def test_checker_ends_with_1_and_prints_file_and_line(tmp_path, capsys):
    path, text = edited("norway", 'kind = "refer"', 'kind = "ignore"')
    wrong = tmp_path / path.name
    wrong.write_text(text, encoding="utf-8")
    assert main([str(wrong)]) == 1
    assert "norway.toml:" in capsys.readouterr().out


def test_checker_runs_as_a_module():
    done = subprocess.run([sys.executable, "-m", "law.check"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (0, f"{len(SHIPPED)} packs, no slip found.\n")


@pytest.mark.parametrize("code", pack_codes())
def test_every_rule_carries_its_clause_and_how_it_was_checked(code):
    pack = load_pack(code)
    for rule in pack.rules:
        assert rule.clause
        assert rule.source
        assert date(2026, 1, 1) <= rule.checked_on <= pack.checked_on
        assert rule.clock.words
        if rule.checked is Checked.MEMORY:
            assert not rule.firm
            assert "memory" in rule.source.lower()
            assert rule.clock.kind is ClockKind.ASAP
    assert pack.caution.count("not legal advice") == 1


@pytest.mark.parametrize("code", pack_codes())
def test_texts_read_as_sentences(code):
    pack = load_pack(code)
    texts = [rule.duty for rule in pack.rules] + [rule.words for rule in pack.search_rules]
    texts += [rule.clock.words for rule in pack.rules] + [
        step for d in pack.drills.values() for step in d.steps
    ]
    for text in texts:
        assert text[0].isupper(), text
        assert text.endswith((".", ")")), text
        assert "  " not in text


def test_licences_a_place_asks_for_are_named_in_words():
    assert set(licences_needed(load_pack("ireland"))) == {
        "ie-detection",
        "ie-excavation",
        "ie-detection-monument",
    }
    assert "article-41" in licences_needed(load_pack("northern-ireland"))
    assert "se-detector" in licences_needed(load_pack("sweden"))


def test_exclusion_may_not_hang_on_company():
    """It is kept once for each object, whatever was found beside it."""
    counted = '{ same_find_count = 2, of = ["is_coin"], of_words = "coins" }'
    table = f'\n[[exclusion]]\nid = "x"\nclause = "s.1"\ntitle = "Coins together"\nwhen = [{counted}]\n'
    path = PACKS_DIR / "scotland.toml"
    with pytest.raises(PackError, match="may not stand in an exclusion"):
        read_pack(path, path.read_text() + table)
