"""An XML reader that refuses document types, so that no entity is ever defined and nothing outside fetched."""

from contextlib import suppress
from xml.parsers import expat

from geo.errors import shown
from geo.files.model import FileError
from tongue import say as _

_HEAD = 65_536


class _FoundError(Exception):
    """Carries the first element out of the parser."""


def make_parser() -> expat.XMLParserType:
    """A namespace-aware parser ("URI local") that raises FileError at a document type."""
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _refuse
    parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
    return parser


def _refuse(name: str, *_rest: object) -> None:
    raise FileError(
        _("The file declares a document type (%(name)s), which no map file needs") % {"name": shown(name)},
        value=name,
        remedy=_("export it again from the program that made it"),
    )


def parse(parser: expat.XMLParserType, data: bytes, *, final: bool = True) -> None:
    """Feeds the whole file. Raises FileError with the line for what is not XML."""
    try:
        parser.Parse(data, final)
    except (FileError, _FoundError):
        raise
    except expat.ExpatError as error:
        said = expat.errors.messages.get(error.code, "broken")
        raise FileError(
            _("Line %(lineno)s of the file cannot be read (%(said)s)")
            % {"lineno": error.lineno, "said": said},
            value=error.lineno,
            remedy=_("export it again"),
        ) from error
    except (ValueError, LookupError) as error:
        raise FileError(
            _("The file is in an encoding that cannot be read (%(str)s)") % {"str": shown(str(error))},
            value=str(error),
            remedy=_("export it again in UTF-8"),
        ) from error


def root_of(data: bytes) -> str:
    """The local name of the first element, in lower case; empty if there is none near the start."""
    found: list[str] = []

    def start(tag: str, _: dict[str, str]) -> None:
        found.append(tag.rpartition(" ")[2].lower())
        raise _FoundError

    parser = make_parser()
    parser.StartElementHandler = start
    with suppress(_FoundError):
        parse(parser, data[:_HEAD], final=False)
    return found[0] if found else ""
