"""Everything that is shown can be said in another language, and every catalogue says all of it."""

import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.house.python_words import unmarked
from tests.house.template_words import bare_words
from tools import messages, texts

ROOT = Path(__file__).resolve().parent.parent.parent
APPS = ("people", "web", "permissions", "hunts", "finds", "reports", "field", "keeping", "doors")

# What is not through yet while the first translation is being made. The mark is strict: each leaves its list when done.
NOT_MARKED_YET: frozenset[str] = frozenset()
NOT_TRANSLATED_YET = frozenset(messages.AREAS) - {
    "finds",
    "law",
    "doors",
    "keeping",
    "permissions",
    "hunts",
    "field",
    "people",
    "reports",
    "web",
}
IN_STEP = pytest.mark.skipif(
    bool(NOT_MARKED_YET | NOT_TRANSLATED_YET),
    reason="texts are being translated: catalogues grow by the hour",
)

PLACEHOLDER = re.compile(r"%\(\w+\)[sd]|%%|\{\w*\}")
MARKUP = re.compile(r"</?[a-zA-Z][^>]*>|&\w+;")

pytestmark = pytest.mark.once


def waiting(names: tuple[str, ...], late: frozenset[str], why: str) -> list[Any]:
    mark = pytest.mark.xfail(reason=why, strict=True)
    return [pytest.param(name, marks=mark) if name in late else name for name in names]


@cache
def rows(area: str) -> list[tuple[str, Any]]:
    """Each message of an area with its language."""
    return [
        (language, message)
        for language in messages.LANGUAGES
        for message in messages.read(area, language)
        if message.id
    ]


def test_templates_have_no_bare_words() -> None:
    paths = [path for path in sorted((ROOT / "templates").rglob("*.*")) if path.suffix != ".js"]
    wrong = [
        f"{path.relative_to(ROOT)}:{line}: {words}" for path in paths for line, words in bare_words(path)
    ]
    assert len(paths) > 300
    assert wrong == []


@pytest.mark.parametrize("app", waiting(APPS, NOT_MARKED_YET, "its texts are not marked yet"))
def test_python_has_no_bare_words(app: str) -> None:
    paths = [
        path for path in sorted((ROOT / app).rglob("*.py")) if not {"migrations", "demo"} & set(path.parts)
    ]
    assert [
        f"{path.relative_to(ROOT)}:{line}: {words}" for path in paths for line, words in unmarked(path)
    ] == []


RAW_STATE = re.compile(r"""["']\w+["']: [\w.]*\.state[,}]""")


def test_a_sentence_says_a_state_and_does_not_show_it() -> None:
    """States are English in the database: `_(hunt.state)` says one, `hunt.state` shows it as it is kept."""
    paths = [path for app in APPS for path in sorted((ROOT / app).rglob("*.py"))]
    wrong = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in paths
        if "migrations" not in path.parts
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if '_state": ' in line and RAW_STATE.search(line)
    ]
    assert wrong == []
    assert RAW_STATE.search('% {"hunt_code": hunt.code, "hunt_state": hunt.state}')
    assert not RAW_STATE.search('% {"hunt_state": _(hunt.state)}')


@IN_STEP
def test_catalogues_hold_what_is_said_now_and_are_compiled() -> None:
    assert messages.run(check=True) == [], "python -m tools.messages brings them up to date"


@pytest.mark.parametrize("area", waiting(messages.AREAS, NOT_TRANSLATED_YET, "it is being translated"))
def test_every_text_is_translated(area: str) -> None:
    missing = [f"{lang}: {m.id}" for lang, m in rows(area) if m.fuzzy or not all(messages.words_of(m))]
    assert missing == []


def _marks(pattern: re.Pattern[str], text: str) -> Counter[str]:
    return Counter(pattern.findall(text))


def _wrong(message: Any) -> Iterator[str]:
    """A translation that names a value that is not given, leaves one out, or has other markup."""
    texts = [message.id] if isinstance(message.id, str) else list(message.id)
    for number, words in enumerate(messages.words_of(message)):
        said = texts[min(number, len(texts) - 1)]
        if not words:
            continue
        # A plural may leave its count out ("one hole"), never name another value.
        given = set(PLACEHOLDER.findall("".join(texts)))
        named = set(PLACEHOLDER.findall(words))
        if (
            named - given
            or (len(texts) == 1 and named != given)
            or _marks(MARKUP, words) != _marks(MARKUP, said)
        ):
            yield f"{said} → {words}"


@pytest.mark.parametrize("area", messages.AREAS)
def test_translations_keep_values_and_markup(area: str) -> None:
    assert [line for _, message in rows(area) for line in _wrong(message)] == []


def test_a_translation_that_loses_a_value_or_markup_is_noticed() -> None:
    catalogue = messages.Words(locale="nl")
    good = catalogue.add("<b>%(n)s</b> of %(all)s", "<b>%(n)s</b> van %(all)s")
    assert list(_wrong(good)) == []
    for bad in ("<b>%(n)s</b> van alle", "%(n)s van %(all)s", "<b>%(n)s</b> van %(total)s"):
        assert list(_wrong(catalogue.add("<b>%(n)s</b> of %(all)s", bad))) != [], bad


def test_a_bare_word_is_noticed(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text(
        '<p class="x">{% translate "Said" %} {{ name }}</p>\n<p title="Bare">&nbsp;</p>\n'
        "{% blocktranslate %}All {{ n }}{% endblocktranslate %}<b>Also bare</b>\n"
        '{% include "x.html" with label="Bare too" status="late" only %}{{ x|default:"none" }}'
    )
    assert sorted(bare_words(page)) == [(2, "Bare"), (3, "Also bare"), (4, "Bare too"), (4, "none")]
    code = tmp_path / "code.py"
    code.write_text(
        "class F:\n    a = CharField(label='Bare', help_text=_lazy('Said'))\n"
        "def f(n):\n    messages.error(r, f'There are {n}.')\n    raise HuntError(_('Said %(n)s') % {'n': n})\n"
        "    raise FindError('bare ' 'too')\n"
    )
    assert [line for line, _ in sorted(unmarked(code))] == [2, 4, 6]


def test_texts_are_collected_with_their_areas() -> None:
    assert list(texts.in_python("_('a'); _n('b', 'c', n); _p('x', 'd'); other('e'); _(name)")) == [
        ("", "a", ""),
        ("", "b", "c"),
        ("x", "d", ""),
    ]
    page = (
        """{% translate "It's" %}{% blocktranslate count n=n %}one{% plural %}{{ n }}{% endblocktranslate %}"""
        "{{ x|default:_('no') }}"
    )
    assert list(texts.in_template(page)) == [("", "It's", ""), ("", "one", "%(n)s"), ("", "no", "")]
    assert texts.area_of(Path("templates/hunts/list.html")) == "hunts"
    assert texts.area_of(Path("geo/cut.py")) == texts.SHARED


def test_the_style_sheet_says_its_one_word_in_every_language() -> None:
    """“Caution:” before a notice stands in the style sheet, where no catalogue reaches it."""
    sheet = (ROOT / "static/css/app.css").read_text()
    said = set(
        re.findall(r"\.notice:is\(\.caution, \.warning\):lang\((\w+)\)::before \{ content: \"[^\"]+\"", sheet)
    )
    assert said == set(messages.LANGUAGES)
