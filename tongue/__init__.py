"""What the pure modules say, in the reader's language. They know no framework: it tells them here how to speak.

Without it everything stays English, the language they are written in. `say` at the moment of speaking; `noop` around
a text that stands in a table and is said later by `say(TABLE[key])`.
"""

from collections.abc import Callable, Iterable

_one: Callable[[str], str] = str
_many: Callable[[str, str, int], str] | None = None


def _english() -> tuple[str, str]:
    return ".", ","


_marks: Callable[[], tuple[str, str]] = _english


def speak_with(
    one: Callable[[str], str], many: Callable[[str, str, int], str], marks: Callable[[], tuple[str, str]]
) -> None:
    """Take gettext and ngettext or what does the same, and the marks of decimals and thousands."""
    global _one, _many, _marks
    _one, _many, _marks = one, many, marks


def say(text: str) -> str:
    """The text in the language spoken now. Values go in afterwards: say("%(n)s m") % {"n": n}."""
    return _one(text) if text else ""


def say_many(one: str, many: str, count: int) -> str:
    """The first text for one, the second for any other count, as the language counts."""
    if _many is None:
        return one if count == 1 else many
    return _many(one, many, count)


def all_of(names: Iterable[str]) -> str:
    """The names as a sentence lists them: "A", "A and B", "A, B and C"."""
    return _listed([*names], say(" and "))


def one_of(names: Iterable[str]) -> str:
    """The names as a sentence offers them: "A", "A or B", "A, B or C"."""
    return _listed([*names], say(" or "))


def _listed(names: list[str], last: str) -> str:
    return ", ".join([*names[:-2], last.join(names[-2:])]) if names else ""


def figure(text: str) -> str:
    """A number written as f"{x:,.1f}" writes it, with the marks of the language spoken now: 1,234.5 or 1.234,5."""
    decimal, thousands = _marks()
    return text.translate({ord("."): decimal, ord(","): thousands})


def noop(text: str) -> str:
    """The text as it is; it only marks it for whoever collects what is to be translated."""
    return text
