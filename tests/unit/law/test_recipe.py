"""The recipe for a new place in law/packs/README.md gives a pack that passes the checker and screens."""

import re
from datetime import date

from law.check import check_pack
from law.model import Effect
from law.pack import PACKS_DIR, read_pack
from law.place import PlaceFacts
from law.screen import Outcome, Strength, screen
from law.search import search_answers
from law.tri import Tri
from tests.unit.law.make import duty_of, make_facts

PATH = PACKS_DIR / "saltmark.toml"
TEXT = (PACKS_DIR / "README.md").read_text(encoding="utf-8")
EXAMPLE = re.search(r"```toml\n(.*?)```", TEXT, re.DOTALL)[1]
ON = date(2025, 12, 1)


def test_the_example_passes_the_checker():
    assert check_pack(PATH, EXAMPLE) == []


def test_no_line_of_the_example_but_the_days_of_force_can_be_left_out():
    """“The least that passes”: without any other key of the rule or the search the pack is refused."""
    body = EXAMPLE[EXAMPLE.index("[[rule]]") :]
    keys = re.findall(r"^(\w+) = .*\n", body, re.MULTILINE)
    spared = {"from", "lifted_by"}
    for key in [key for key in keys if key not in spared]:
        without = re.sub(rf"^{key} = .*\n", "", body, flags=re.MULTILINE)
        assert check_pack(PATH, EXAMPLE.replace(body, without)), key


def test_the_example_screens_as_its_words_say():
    pack = read_pack(PATH, EXAMPLE)
    old = screen(make_facts(made_from=1700, made_to=1750), pack=pack, on=ON)
    assert old.outcome is Outcome.DUTY
    assert duty_of(old, "sm-old").due.on == date(2025, 3, 20)
    undated = screen(make_facts(made_from=None, made_to=None), pack=pack, on=ON)
    assert duty_of(undated, "sm-old").strength is Strength.POSSIBLE
    assert screen(make_facts(), pack=pack, on=ON).outcome is Outcome.NO_DUTY_FOUND


def test_the_example_shuts_a_protected_place_until_consent_is_held():
    pack = read_pack(PATH, EXAMPLE)
    place = {"on": ON, "protected_place": Tri.YES}
    assert [answer.effect for answer in search_answers(pack, PlaceFacts(**place))] == [Effect.SHUT]
    assert search_answers(pack, PlaceFacts(**place, licences=frozenset({"sm-consent"}))) == ()
