"""A report as data and back: one canonical JSON text for each report, and the hash that is printed on it."""

import hashlib
import json
from dataclasses import fields, is_dataclass
from datetime import date
from enum import StrEnum
from functools import cache
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from django.utils.translation import gettext as _

from reports.blocks import Block, Report, ReportError

FORMAT = 1
_BLOCKS = {kind.__name__: kind for kind in get_args(Block)}


def to_data(report: Report) -> dict[str, Any]:
    """Lists, dicts, text, whole numbers and truth values, fit for a JSON column. No floats, so no rounding."""
    return {"format": FORMAT, **_plain(report)}


def from_data(data: Any) -> Report:
    """The report that `to_data` wrote. Raises ReportError, naming the place, for anything else."""
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        found = data.get("format") if isinstance(data, dict) else type(data).__name__
        raise ReportError(
            _("Report content has format %(found)s; this program reads format %(format)s.")
            % {"found": repr(found), "format": FORMAT}
        )
    rest = {key: value for key, value in data.items() if key != "format"}
    report = _build(Report, rest, "report")
    assert isinstance(report, Report)
    return report


def to_json(report: Report) -> str:
    """Canonical JSON: keys sorted, no spaces, ASCII only, so that equal reports are equal byte for byte."""
    return json.dumps(
        to_data(report), sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False
    )


def digest(report: Report) -> str:
    """SHA-256 of the canonical JSON, 64 hexadecimal figures."""
    return hashlib.sha256(to_json(report).encode("ascii")).hexdigest()


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        own = {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
        return {"block": type(value).__name__, **own} if type(value).__name__ in _BLOCKS else own
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, date):
        return value.isoformat()
    return value.value if isinstance(value, StrEnum) else value


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _build(kind: Any, data: Any, place: str) -> Any:
    """`data` as the dataclass `kind`, every field of the right type and none left over."""
    if not isinstance(data, dict):
        raise ReportError(
            _("%(place)s is %(name)s; give an object.") % {"place": place, "name": type(data).__name__}
        )
    hints = _hints(kind)
    if strange := sorted(set(data) ^ set(hints)):
        raise ReportError(
            _("%(place)s has missing or unknown fields: %(strange)s; give %(hints)s.")
            % {"place": place, "strange": ", ".join(strange), "hints": ", ".join(hints)}
        )
    return kind(**{name: _value(hint, data[name], f"{place}.{name}") for name, hint in hints.items()})


def _value(hint: Any, data: Any, place: str) -> Any:
    if hint == Block:
        return _block(data, place)
    if get_origin(hint) in (UnionType, Union):  # a photograph or nothing
        return None if data is None else _value(get_args(hint)[0], data, place)
    if get_origin(hint) is tuple:
        if not isinstance(data, list):
            raise ReportError(
                _("%(place)s is %(name)s; give a list.") % {"place": place, "name": type(data).__name__}
            )
        return tuple(_value(get_args(hint)[0], item, f"{place}[{i}]") for i, item in enumerate(data))
    if is_dataclass(hint):
        return _build(hint, data, place)
    return _scalar(hint, data, place)


def _scalar(hint: Any, data: Any, place: str) -> Any:
    if hint is date or issubclass(hint, StrEnum):
        try:
            return date.fromisoformat(data) if hint is date else hint(data)
        except (TypeError, ValueError) as error:
            raise ReportError(
                _("%(place)s is %(data)s: %(error)s.") % {"place": place, "data": repr(data), "error": error}
            ) from error
    if type(data) is not hint:
        raise ReportError(
            _("%(place)s is %(data)s; give %(hint_name)s.")
            % {"place": place, "data": repr(data), "hint_name": hint.__name__}
        )
    return data


def _block(data: Any, place: str) -> Any:
    name = data.get("block") if isinstance(data, dict) else None
    if name not in _BLOCKS:
        raise ReportError(
            _("%(place)s is a block of kind %(name)s; give one of %(blocks)s.")
            % {"place": place, "name": repr(name), "blocks": ", ".join(sorted(_BLOCKS))}
        )
    return _build(_BLOCKS[name], {key: value for key, value in data.items() if key != "block"}, place)
