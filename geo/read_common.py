"""What every reader of positions shares: the result, tidying of pasted text and the labels people put in
front.
"""

import re
import unicodedata
from dataclasses import dataclass, replace

from geo.areas import System
from geo.precision import combined_accuracy_m, square_accuracy_m
from geo.transform import Place


@dataclass(frozen=True)
class Position:
    """A place as it was written and as it was computed.

    `lon`, `lat` are WGS84 degrees; `resolution_m` is the size of the last digit given;
    `transformation_accuracy_m` is the 95 % error of the change of system; `text` is what was typed.
    """

    lon: float
    lat: float
    system: System
    resolution_m: float
    transformation: str
    transformation_accuracy_m: float
    text: str

    @property
    def accuracy_m(self) -> float:
        """The 95 % radius that the text alone can claim: its last digit and the transformation together."""
        return combined_accuracy_m(square_accuracy_m(self.resolution_m), self.transformation_accuracy_m)

    def with_text(self, text: str, note: str) -> "Position":
        """The same place credited to a longer text, with a note on how it was found there."""
        return replace(self, text=text, transformation=f"{self.transformation}, {note}")


def placed(place: Place, system: System, resolution_m: float, text: str) -> Position:
    """A Position from a converted place."""
    return Position(
        place.lon, place.lat, system, resolution_m, place.transformation, place.accuracy_m, text.strip()
    )


_REPLACED = {
    **dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014\ufe63\uff0d", "-"),
    **dict.fromkeys("º˚°", "°"),
    **dict.fromkeys("′’‘ʹ´`ʼ", "'"),
    **dict.fromkeys("″“”„ʺ", '"'),
    **dict.fromkeys("\u200b\u200e\u200f\ufeff\u2060", ""),
}
_NUMBER = r"[+-]?\d{1,3}(?:\.\d+)?"
_TABLE = str.maketrans(_REPLACED)
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")
_PLUS_MINUS = r"(?:±|\+/-|\+-)\s*\d+(?:[.,]\d+)?\s*(?:m|metres?|meters?)?"
_ACCURACY = re.compile(
    rf"\s*\(?\s*(?:{_PLUS_MINUS}|accuracy not recorded|nauwkeurigheid niet vastgelegd)\s*\)?\s*$", re.I
)
_WKT_POINT = re.compile(rf"point\s*({_NUMBER})\s+({_NUMBER})", re.I)
_THOUSANDS = re.compile(r"(?<![\d.,°])\d{1,3}(?:,\d{3})+(?![\d,'°])")


def clean(text: str) -> str:
    """Plain hyphens, quotes, spaces and digits; brackets, doubled blanks and a stated accuracy gone; case kept."""
    plain = unicodedata.normalize("NFKC", text.translate(_TABLE)).replace("''", '"')
    plain = _ACCURACY.sub("", plain)
    plain = " ".join(re.sub(r"[()\[\]{}<>|]", " ", plain).split()).strip(" .,;")
    if m := _WKT_POINT.fullmatch(plain):
        return f"{m[2]}, {m[1]}"  # well-known text puts x, the longitude, first
    return _plain_decimals(plain)


def _plain_decimals(text: str) -> str:
    """Two decimal commas ('53,7 -0,1') become points; thousands commas ('512,345 412,345') go."""
    thousands = _THOUSANDS.findall(text)
    if len(thousands) == 2 and all(len(t.replace(",", "")) >= 5 for t in thousands):
        return _THOUSANDS.sub(lambda m: m[0].replace(",", ""), text)
    if "." not in text and len(_DECIMAL_COMMA.findall(text)) == 2:
        return _DECIMAL_COMMA.sub(".", text)
    return text


_LABELS: tuple[tuple[str, System | None], ...] = (
    (r"british national grid|national grid|os grid|osgb\s*36|osgb|bng", System.NATIONAL_GRID),
    (r"irish grid|irish national grid|osi|osni|ig", System.IRISH_GRID),
    (r"irish transverse mercator|itm", System.ITM),
    (r"mgrs|usng", System.MGRS),
    (r"utm", System.UTM),
    (r"sweref\s*99\s*tm|sweref\s*99", System.SWEREF99_TM),
    (r"wgs\s*84|gps|lat(?:itude)?\s*[/,]?\s*(?:and\s+)?lon(?:g(?:itude)?)?", System.WGS84),
    (r"ngr|gr|os|position|coordinates?|coords?|at", None),
)
_TAIL = r"(?:\s*(?:grid\s*)?(?:ref(?:erence)?)?)?\s*[:=.]?\s+(?=\S)"
_LABEL_RES = [(re.compile(rf"(?:{words}){_TAIL}|(?:{words})\s*[:=]\s*", re.I), s) for words, s in _LABELS]
_LABEL_RES.append((re.compile(r"grid\s*(?:ref(?:erence)?)?\s*[:=.]?\s*", re.I), None))


def split_label(text: str) -> tuple[System | None, str]:
    """The system named in front of the text ('NGR', 'OSGB', 'ITM:'), if any, and the text without it."""
    found: System | None = None
    for _ in range(3):
        for pattern, system in _LABEL_RES:
            m = pattern.match(text)
            if m and m.end() < len(text):
                found, text = found or system, text[m.end() :]
                break
        else:
            return found, text
    return found, text
