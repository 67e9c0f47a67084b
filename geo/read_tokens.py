"""Breaks the text of a latitude and longitude into numbers, marks and compass letters, and into its two
angles.
"""

import re
from dataclasses import dataclass
from enum import Enum, auto


class Kind(Enum):
    """What a piece of the text is."""

    NUMBER = auto()
    DEGREES = auto()
    MINUTES = auto()
    SECONDS = auto()
    HEMISPHERE = auto()
    AXIS = auto()
    SEPARATOR = auto()
    COLON = auto()
    LETTER_S = auto()


@dataclass(frozen=True)
class Token:
    """One piece: a number keeps its text, a compass letter is upper-case, an axis is 'lat' or 'lon'."""

    kind: Kind
    text: str


_PATTERNS = (
    (Kind.NUMBER, r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)"),
    (Kind.AXIS, r"(?:lat(?:itude)?|lon(?:g(?:itude)?)?|lng)\b\s*[:=]?"),
    (Kind.DEGREES, r"°|deg(?:rees?)?\b\.?|d(?![a-z])"),
    (Kind.MINUTES, r"'|min(?:ute)?s?\b\.?|m(?![a-z])"),
    (Kind.SECONDS, r'"|sec(?:ond)?s?\b\.?'),
    (Kind.HEMISPHERE, r"north|south|east|west|[new](?![a-z])"),
    (Kind.LETTER_S, r"s(?![a-z])"),
    (Kind.SEPARATOR, r"[,;/]|\band\b"),
    (Kind.COLON, r":"),
)
_TOKEN = re.compile("|".join(f"(?P<{kind.name}>{pattern})" for kind, pattern in _PATTERNS), re.I)
_INNER_HYPHEN = re.compile(r"(?<=\d)-(?=\d)")
_COMPASS = re.compile(r"[nsew](?![a-z])|north|south|east|west", re.I)


def tokenise(text: str) -> list[Token] | None:
    """The pieces of the text, or None if something in it belongs to no latitude or longitude."""
    if _COMPASS.search(text):
        # "53-39.1N": with compass letters a hyphen inside an angle joins its parts and is no minus.
        text = _INNER_HYPHEN.sub(" ", text)
    tokens: list[Token] = []
    position = 0
    while position < len(text):
        if text[position] == " ":
            position += 1
            continue
        match = _TOKEN.match(text, position)
        if match is None:
            return None
        tokens.append(_token(Kind[match.lastgroup or ""], match[0]))
        position = match.end()
    return _resolve_s(tokens)


def _token(kind: Kind, text: str) -> Token:
    if kind is Kind.HEMISPHERE:
        word = text.lower()
        # "south" is matched whole, a bare s is LETTER_S and settled later
        return Token(kind, word[0].upper())
    if kind is Kind.AXIS:
        return Token(kind, "lat" if text.lower().startswith("lat") else "lon")
    return Token(kind, text)


def _resolve_s(tokens: list[Token]) -> list[Token]:
    """Settles each bare s: seconds after minutes when lower-case (or when a compass letter follows), else
    south.
    """
    out: list[Token] = []
    for i, token in enumerate(tokens):
        if token.kind is not Kind.LETTER_S:
            out.append(token)
            continue
        following = tokens[i + 1] if i + 1 < len(tokens) else None
        before_compass = following is not None and following.kind in (Kind.HEMISPHERE, Kind.LETTER_S)
        seconds = _closes_seconds(out) and (token.text == "s" or before_compass)
        out.append(Token(Kind.SECONDS, token.text) if seconds else Token(Kind.HEMISPHERE, "S"))
    return out


def _closes_seconds(before: list[Token]) -> bool:
    """True if the pieces so far end in the third number of one angle."""
    numbers = 0
    for token in reversed(before):
        if token.kind in (Kind.HEMISPHERE, Kind.SEPARATOR, Kind.AXIS):
            break
        numbers += token.kind is Kind.NUMBER
        if token.kind is Kind.DEGREES:
            return numbers == 2 and before[-1].kind is Kind.NUMBER
    return numbers >= 3 and before[-1].kind is Kind.NUMBER


def split_pair(tokens: list[Token]) -> tuple[list[Token], list[Token]] | None:
    """The two angles' pieces, or None if the text does not hold exactly two."""
    pieces = _at_separators(tokens)
    if len(pieces) == 2:
        return pieces[0], pieces[1]
    if len(pieces) != 1:
        return None
    cut = _cut(pieces[0])
    if cut is None:
        return None
    halves = pieces[0][:cut], pieces[0][cut:]
    return halves if all(any(t.kind is Kind.NUMBER for t in half) for half in halves) else None


def _at_separators(tokens: list[Token]) -> list[list[Token]]:
    pieces: list[list[Token]] = [[]]
    for token in tokens:
        if token.kind is Kind.SEPARATOR:
            pieces.append([])
        else:
            pieces[-1].append(token)
    return [piece for piece in pieces if piece]


def _cut(tokens: list[Token]) -> int | None:
    """Where the second angle starts: by labels, compass letters, degree marks, or half of the numbers."""
    names = [i for i, t in enumerate(tokens) if t.kind is Kind.AXIS] or [
        i for i, t in enumerate(tokens) if t.kind is Kind.HEMISPHERE
    ]
    if names:
        if names[0] == 0:
            return names[1] if len(names) > 1 else None
        return names[0] + 1 if tokens[names[0]].kind is Kind.HEMISPHERE else None
    degrees = [i for i, t in enumerate(tokens) if t.kind is Kind.DEGREES]
    if len(degrees) == 2:
        return degrees[1] - 1
    numbers = [i for i, t in enumerate(tokens) if t.kind is Kind.NUMBER]
    if len(numbers) in (2, 4, 6):
        return numbers[len(numbers) // 2]
    return None
