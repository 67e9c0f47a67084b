"""Finds the coordinates inside a pasted map link or a geo: address (RFC 5870)."""

import re
from urllib.parse import parse_qsl, unquote_plus, urlsplit

from geo.errors import PositionError, shown
from tongue import say as _

_N = r"([+-]?\d{1,3}(?:\.\d+)?)"
_PAIR = re.compile(rf"{_N}\s*,\s*{_N}")
_KEY_PAIRS = (("mlat", "mlon"), ("lat", "lon"), ("lat", "lng"), ("lat", "long"), ("latitude", "longitude"))
_KEYS = (
    "q",
    "query",
    "ll",
    "loc",
    "marker",
    "markers",
    "pin",
    "destination",
    "daddr",
    "coords",
    "gridref",
    "gr",
)
_VIEW_KEYS = ("center", "centre", "c", "sll")
_BARE = re.compile(rf"^\s*[?&]?(?:mlat|{'|'.join((*_KEYS, *_VIEW_KEYS))})=", re.I)
_LINK = re.compile(r"^\s*(?:geo:|[a-z][a-z0-9+.-]*://|www\.|\S+\?\S+=)|@[+-]?\d+\.\d+,", re.I)
_GEO = re.compile(rf"geo:{_N},{_N}(?:,[+-]?\d+(?:\.\d+)?)?(?P<parameters>(?:;[^?]*)?)(?P<query>\?.*)?", re.I)
_PIN = re.compile(rf"!3d{_N}!4d{_N}")
_VIEWS = (
    re.compile(rf"@{_N},{_N}"),
    re.compile(rf"#(?:map=)?\d+(?:\.\d+)?/{_N}/{_N}"),
)


def looks_like_link(text: str) -> bool:
    """True for anything with a scheme, a query or its part, or an @ followed by coordinates."""
    return bool(_LINK.search(text) or _BARE.search(text))


def coordinates_in_link(text: str) -> tuple[str, bool]:
    """The words of the position inside a link, and whether they are only the middle of the map's view.

    A marked point wins over the view. Raises PositionError if the link holds no coordinates.
    """
    link = unquote_plus(text.strip())
    if link.lower().startswith("geo:"):
        return _geo(link, text), False
    fields = _fields(text.strip())
    if m := _PIN.search(link):
        return f"{m[1]}, {m[2]}", False
    for lat, lon in _KEY_PAIRS:
        if lat in fields and lon in fields:
            return f"{fields[lat]}, {fields[lon]}", False
    for key in _KEYS:
        if key in fields and (words := _words(fields[key])):
            return words, False
    return _view(link, fields, text)


def _fields(link: str) -> dict[str, str]:
    """The names and values of the query and the fragment, or of a piece of a query pasted alone."""
    if _BARE.search(link):
        return {k.lower(): v for k, v in parse_qsl(link.lstrip("?&"))}
    try:
        parts = urlsplit(link)
    except ValueError:  # a bracket where a host should be
        return {}
    return {k.lower(): v for k, v in [*parse_qsl(parts.query), *parse_qsl(parts.fragment)]}


def _view(link: str, fields: dict[str, str], text: str) -> tuple[str, bool]:
    for pattern in _VIEWS:
        if m := pattern.search(link):
            return f"{m[1]}, {m[2]}", True
    for key in _VIEW_KEYS:
        if key in fields and (words := _words(fields[key])):
            return words, True
    if m := re.search(rf"/{_N},\s*{_N}(?=[/?#]|$)", link):
        return f"{m[1]}, {m[2]}", False
    raise PositionError(
        _("The link “%(text)s” holds no coordinates") % {"text": shown(text)},
        value=text,
        remedy=_("open it, mark the place on the map and copy the numbers shown for the mark"),
    )


def _words(value: str) -> str:
    """The position in a field such as 'loc:53.65,-0.12 (gate)'; empty if it is only the name of a place."""
    if m := _PAIR.search(value):
        return f"{m[1]}, {m[2]}"
    return value if re.search(r"\d", value) and "," not in value else ""


def _geo(link: str, text: str) -> str:
    match = _GEO.fullmatch(link)
    if match is None:
        raise PositionError(
            _("“%(text)s” is not a geo: address") % {"text": shown(text)},
            value=text,
            remedy=_("give geo:latitude,longitude"),
        )
    crs = re.search(r";crs=([^;]*)", match["parameters"], re.I)
    if crs and crs[1].lower() != "wgs84":
        raise PositionError(
            _("“%(text)s” uses the system %(crs)s") % {"text": shown(text), "crs": crs[1]},
            value=text,
            remedy=_("give WGS84 latitude and longitude"),
        )
    pinned = _PAIR.search(match["query"] or "")
    if pinned and float(match[1]) == 0 == float(match[2]):
        return f"{pinned[1]}, {pinned[2]}"
    return f"{match[1]}, {match[2]}"
