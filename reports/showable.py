"""Text that the PDF's own fonts can show: PDF/UA-1 refuses a whole document for one character they lack."""

import re
import threading
import unicodedata
from collections.abc import Iterable
from functools import cache

import typst

_PROBE = b'#set document(title: "probe")\n#set text(lang: "en")\n#sys.inputs.text\n'
_LACKING = re.compile(r'the text `"(.*?)"` could not be displayed')
_ESCAPE = re.compile(r"\\u\{([0-9a-f]+)\}")
_PLACE = re.compile(r"\b[A-Z]{1,3} \d+ \d+(?: \(±[\d.,]+ m\))?|±[\d.,]+ m\b")
_UNPLAIN = re.compile(r"[^\n -~]")
_PHONE = re.compile(r"\+?\d[\d ()/-]{5,18}|\d{3} \w{2,5} \d{3}")  # 01632 960102; 999 or 101
_KEEP_FORMAT = frozenset("\u00ad\u200b\u200c\u200d\u200e\u200f\u2060")
_LONG_RUN = re.compile(r"[^\s\u200b-]{29,}")
_known: dict[str, bool] = {}
_known_lock = threading.Lock()


@cache
def fonts() -> typst.Fonts:
    """The fonts inside the typst package and no others, so that a report looks the same on every machine."""
    return typst.Fonts(include_system_fonts=False)


def plain_text(text: str) -> str:
    """Composed text without controls, direction overrides and lone surrogates; line breaks become '\\n'."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\u2028", "\n").replace("\u2029", "\n\n")
    text = unicodedata.normalize("NFC", text.replace("\t", " "))
    return _UNPLAIN.sub(lambda found: _plain(found[0]), text)


def _plain(char: str) -> str:
    if char in _KEEP_FORMAT:
        return char
    kind = unicodedata.category(char)
    if kind in ("Cc", "Cf"):
        return ""
    return "\ufffd" if kind in ("Cs", "Co", "Cn") else char


def with_breaks(text: str) -> str:
    """Long unbroken runs may be broken every 12 characters, or they would leave their column."""
    return _LONG_RUN.sub(lambda run: "\u200b".join(re.findall(r".{1,12}", run[0])), text)


def held_together(text: str) -> str:
    """A grid reference, an accuracy and a phone number stay on one line: half of one is read as another."""
    if _PHONE.fullmatch(text):
        return text.replace(" ", "\u00a0")
    return _PLACE.sub(lambda found: found[0].replace(" ", "\u00a0"), text)


def lacking(texts: Iterable[str]) -> frozenset[str]:
    """The characters of these texts that no font of the document can show."""
    seen = {char for char in set().union(*texts) if not char.isascii()}
    unknown = sorted(char for char in seen if char not in _known)
    if unknown:
        refused = set(refused_characters(" ".join(unknown)))
        with _known_lock:
            _known.update({char: char not in refused for char in unknown})
    return frozenset(char for char in seen if not _known[char])


def refused_characters(text: str) -> str:
    """Every character for which PDF/UA-1 refuses this text, as the compiler names them."""
    try:
        typst.compile(_PROBE, font_paths=fonts(), sys_inputs={"text": text}, pdf_standards=["ua-1"])
    except typst.TypstError as error:
        return refused_by(error)
    return ""


def refused_by(error: typst.TypstError) -> str:
    """The characters that a compiler's error names as not displayable."""
    named = "".join(_LACKING.findall(f"{error.diagnostic}\n{error.message}"))
    return _ESCAPE.sub(lambda code: chr(int(code[1], 16)), named)


def spelled(text: str, without: frozenset[str]) -> str:
    """The text with each character of `without` spelled in square brackets: its name, or its code point."""
    return text if without.isdisjoint(text) else "".join(_spell(c) if c in without else c for c in text)


def _spell(char: str) -> str:
    name = unicodedata.name(char, "")
    if not name or name.endswith(f"-{ord(char):X}"):  # ideographs are named by their number
        return f"[U+{ord(char):04X}]"
    return f"[{name.lower()}]"
