"""Terms of open vocabularies with their stable identifiers, as small lists in TOML beside this file. Pure: no database.

Anybody may write what they like: a text equal to a term (case aside) is kept with the scheme and the identifier, every
other text is kept as it is and marked as free text. The lists hold only identifiers that were seen in a published copy;
each list says where and when.
"""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

FOLDER = Path(__file__).parent
OBJECTS = ("objects", "denominations")
MATERIALS = ("materials",)


@dataclass(frozen=True, slots=True)
class Term:
    """A term: its label, the scheme as a record cites it, and the concept's address."""

    label: str
    scheme: str
    uri: str


@lru_cache
def terms_of(name: str) -> tuple[Term, ...]:
    """The terms of one list, in its order."""
    data = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    scheme = f"{data['scheme']}, {data['version']}"
    return tuple(Term(label, scheme, data["base"] + key) for label, key in data["terms"].items())


@lru_cache
def _by_label(names: tuple[str, ...]) -> dict[str, Term]:
    found: dict[str, Term] = {}
    for name in names:
        for term in terms_of(name):
            found.setdefault(term.label.casefold(), term)
    return found


def term_for(text: str, names: tuple[str, ...]) -> Term | None:
    """The term whose label `text` is; the earlier list of `names` wins where two have it."""
    return _by_label(names).get(" ".join(text.split()).casefold())


def labels_of(names: tuple[str, ...]) -> list[str]:
    """Every label of these lists, for a list to choose from."""
    return [term.label for term in _by_label(names).values()]
