"""Loads law packs by the code of their place; a place without a pack is an error, never “no duty”."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from law.model import (
    Authority,
    Checked,
    Drill,
    Effect,
    Exclusion,
    Kind,
    Pack,
    Rule,
    SearchRule,
)
from law.reading import Reader
from law.tables import PackError
from tongue import say as _

PACKS_DIR = Path(__file__).parent / "packs"

__all__ = [
    "PACKS_DIR",
    "Authority",
    "Checked",
    "Drill",
    "Effect",
    "Exclusion",
    "Kind",
    "Pack",
    "PackError",
    "Rule",
    "SearchRule",
    "UnknownJurisdictionError",
    "load_pack",
    "load_packs",
    "pack_codes",
    "read_pack",
]


class UnknownJurisdictionError(LookupError):
    """There is no pack for that place, so nothing can be said about its law."""

    def __init__(self, code: str | None) -> None:
        super().__init__(
            _(
                "No rules of law are held for “%(code)s”. Nothing can be said about duties there: ask the museum or "
                "heritage authority of that place. Held: %(held)s."
            )
            % {"code": code or _("no place given"), "held": ", ".join(pack_codes())}
        )
        self.code = code


def pack_codes() -> tuple[str, ...]:
    """The codes of all packs, in alphabetical order."""
    return tuple(sorted(path.stem for path in PACKS_DIR.glob("*.toml")))


@lru_cache(maxsize=64)
def load_pack(code: str | None) -> Pack:
    """The pack of one place.

    Raises UnknownJurisdictionError for a code without a pack, PackError for a pack with a slip.
    """
    if code not in pack_codes():
        raise UnknownJurisdictionError(code)
    return read_pack(PACKS_DIR / f"{code}.toml")


def load_packs() -> dict[str, Pack]:
    """Every pack by its code. Raises PackError for the first slip."""
    return {code: load_pack(code) for code in pack_codes()}


def read_pack(path: Path, text: str | None = None) -> Pack:
    """The pack in that file (or in `text`, as if it stood there). Raises PackError for the first slip."""
    reader = Reader(path, text)
    pack = reader.read()
    if pack is None:
        raise reader.errors[0]
    return pack
