"""What our scripts say can be said in another language, and a page brings the words of the scripts that it loads."""

import json
import re
from pathlib import Path

import pytest
from django.template import Context, Template
from django.utils import translation

from tests.house.script_words import bare_in, bare_words
from tools import texts
from web import script_words

ROOT = Path(__file__).resolve().parent.parent.parent
SCRIPTS = sorted(path for folder in texts.SCRIPTS for path in (ROOT / folder).rglob("*.js"))
CALL = re.compile(r"(?<![.\w])say(?:Many)?\((?!\w+\) \{)")

pytestmark = pytest.mark.once


def test_scripts_have_no_bare_words() -> None:
    wrong = [f"{path.relative_to(ROOT)}:{line}: {words}" for path in SCRIPTS for line, words in bare_in(path)]
    assert len(SCRIPTS) > 60
    assert wrong == []


def test_what_is_said_stands_in_the_call_itself() -> None:
    """Otherwise it would be neither collected nor translated."""
    for path in SCRIPTS:
        if path.name != "tongue.js":
            source = path.read_text(encoding="utf-8")
            assert len(CALL.findall(source)) == len(list(script_words.said(source))), path


def test_bare_words_are_noticed() -> None:
    source = (
        'el("p", { class: "muted big" }, "Not said");\n'
        'const a = say("Said so"), b = sayMany("One hole", "%(count)s holes", n); // "in a comment"\n'
        'const c = `${n} holes ${n ? `and ${say("more")}` : "not so"} here`;\n'
        "const d = x.replace(/a \"b c/g, ''), e = 1 / 2, f = 'Bare too' + 3 / 4;\n"
        'button("Filled"); document.querySelector("main section"); go("#/hole");\n'
    )
    assert list(bare_words(source)) == [
        (1, "Not said"),
        (3, "% holes % here"),
        (3, "not so"),
        (4, "Bare too"),
        (5, "Filled"),
    ]


def test_texts_of_scripts_are_collected() -> None:
    source = (
        r'say("Say \"so\"", { a }); sayMany("%(count)s hole", "%(count)s holes", n); essay("no"); say(name)'
    )
    assert list(script_words.said(source)) == [('Say "so"', ""), ("%(count)s hole", "%(count)s holes")]


def test_a_part_brings_the_words_of_its_scripts_in_another_language_alone() -> None:
    template = Template('{% script_words "field" %}')
    with translation.override("en-gb"):
        assert template.render(Context()).strip() == ""
    with translation.override("nl"):
        block = template.render(Context())
    words = re.fullmatch(r'<script data-said type="application/json">(.*)</script>', block.strip())
    assert words
    table = json.loads(words[1])
    assert table["Ground reading"] == "Bodemmeting"
    assert table["%(count)s photograph"] == ["%(count)s foto", "%(count)s foto's"]


@pytest.mark.parametrize("part", sorted(script_words.OF_A_PAGE))
def test_every_part_has_something_to_say_in_dutch(part: str) -> None:
    with translation.override("nl"):
        assert script_words.table(script_words.OF_A_PAGE[part])
