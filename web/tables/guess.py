"""Which column of theirs is which field of ours: a guess from the words of the header, for a person to confirm."""

import unicodedata
from collections.abc import Iterable, Sequence

from web.tables.fields import Field
from web.tables.rows import tidy

EXACT, SPELLED = 1_000, 999
_SCAN = 15  # rows looked at for the header


def plain(text: str) -> str:
    """A header without case, marks, accents and signs: “Straße / Huisnr.” is “strasse huisnr”."""
    folded = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(c if c.isalnum() or c.isspace() else " " for c in folded if not unicodedata.combining(c))
    return tidy(bare)


class Guesser:
    """The words of one kind's fields, ready to be asked."""

    def __init__(self, fields: Iterable[Field]) -> None:
        self._fields = list(fields)
        self._words = [
            (field.key, {plain(word) for word in (*field.words, field.key, str(field.label))})
            for field in self._fields
        ]
        self._joined = {field.key for field in self._fields if field.joined is not None}

    def _scores(self, header: str) -> dict[str, int]:
        """How well each field fits: the very words, or else how many letters of them stand in the header whole."""
        said = plain(header)
        found: dict[str, int] = {}
        for key, words in self._words:
            best = max((_fit(said, word) for word in words), default=0)
            if best:
                found[key] = best
        return found

    def guess(self, headers: Sequence[str]) -> list[str]:
        """A field's key for each column, or nothing where no word is known. No field is given out twice but joined
        ones; the best fit is served first, and among equals the leftmost."""
        offers = [
            (-score, column, key)
            for column, header in enumerate(headers)
            for key, score in self._scores(header).items()
        ]
        chosen = [""] * len(headers)
        for score, column, key in sorted(offers):
            is_free = key not in chosen or (key in self._joined and -score == EXACT)
            if not chosen[column] and is_free:
                chosen[column] = key
        return chosen

    def score(self, headers: list[str]) -> tuple[int, int]:
        """How many columns are known, then how many there are."""
        return sum(bool(key) for key in self.guess(headers)), len(headers)

    def header_line(self, lines: Sequence[tuple[int, list[str]]]) -> tuple[int, bool]:
        """The line that is most likely the header, and whether that is sure: two columns known, or all of them."""
        best, known, width = lines[0][0], 0, 0
        for line, cells in lines[:_SCAN]:
            count = self.score(cells)[0]
            if count > known:
                best, known, width = line, count, sum(bool(cell.strip()) for cell in cells)
        return best, known >= 2 or 0 < known == width


def best_sheet(guesser: Guesser, sheets: Iterable[tuple[str, Sequence[tuple[int, list[str]]]]]) -> str:
    """Of several sheets, each with its first lines, the name of the one whose columns fit best; among equals the one
    with the fewest columns that do not, then the first."""
    ranked: list[tuple[int, int, int, str]] = []
    for name, lines in sheets:
        scores = [guesser.score([cell for cell in cells if cell.strip()]) for _line, cells in lines]
        known, width = max(scores, key=lambda score: (score[0], -score[1]), default=(0, 0))
        ranked.append((-known, width, len(ranked), name))
    return min(ranked)[3] if ranked else ""


def _fit(said: str, word: str) -> int:
    if said == word:
        return EXACT
    if said.replace(" ", "") == word.replace(" ", ""):
        return SPELLED
    return len(word) if len(word) > 2 and f" {word} " in f" {said} " else 0
