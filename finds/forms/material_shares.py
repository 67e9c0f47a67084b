"""A field for what something is made of: a tick and a share for each listed material, and lines for others in words."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.template.loader import render_to_string
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from finds.described import material_of
from finds.models.choices import Material
from finds.vocabularies import MATERIALS, labels_of
from permissions.terms.plain import listed
from tongue import figure

WORD_LINES = 2  # empty lines to write other materials into
Shares = dict[str, Decimal | None]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the field as it is shown and as it was sent back; nothing in it is checked yet."""

    key: str  # the material's value, "" on a line for words
    label: str
    ticked: bool = False
    share: str = ""
    words: str = ""

    @property
    def slug(self) -> str:
        return self.key.replace(" ", "_")

    @property
    def is_there(self) -> bool:
        return self.ticked or bool(self.share.strip() or self.words.strip())


def lines_of(shares: Mapping[str, Decimal | None]) -> list[Line]:
    """The lines for kept `shares`: the whole list, then what is in words, then empty lines."""
    texts = {text: "" if share is None else f"{share.normalize():f}" for text, share in shares.items()}
    listed = [Line(m.value, str(m.label), m.value in texts, texts.pop(m.value, "")) for m in Material]
    in_words = [Line("", "", share=share, words=words) for words, share in texts.items()]
    return [*listed, *in_words, *[Line("", "")] * max(WORD_LINES - len(in_words), 1)]


class SharesInput(forms.Widget):
    """Checkboxes `NAME`, shares `KEY_percent`, and numbered lines `other_N` with `other_N_percent`."""

    use_fieldset = True

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        lines = value if isinstance(value, list) else lines_of(value or {})
        context = {
            "name": name,
            "id": (attrs or {}).get("id") or f"id_{name}",
            "invalid": (attrs or {}).get("aria-invalid"),
            "listed": [line for line in lines if line.key],
            "in_words": list(enumerate(line for line in lines if not line.key)),
            "terms": [label for label in labels_of(MATERIALS) if material_of(label)[1]],
        }
        return mark_safe(render_to_string("finds/_materials_field.html", context))  # noqa: S308 (escaped by the template)

    def value_from_datadict(self, data: Any, files: Any, name: str) -> list[Line]:
        ticked = set(data.getlist(name) if hasattr(data, "getlist") else data.get(name) or ())
        listed = [Line(m.value, str(m.label), m.value in ticked) for m in Material]
        listed = [Line(x.key, x.label, x.ticked, data.get(f"{x.slug}_percent") or "") for x in listed]
        in_words: list[Line] = []
        while (words := data.get(f"other_{len(in_words)}")) is not None:
            share = data.get(f"other_{len(in_words)}_percent") or ""
            in_words.append(Line("", "", share=share, words=words))
        return [*listed, *(in_words or [Line("", "")] * WORD_LINES)]

    def value_omitted_from_data(self, data: Any, files: Any, name: str) -> bool:
        return False  # nothing ticked is an answer

    def id_for_label(self, id_: str, index: Any = None) -> str:
        return ""


class SharesField(forms.Field):
    """Cleans to material (of the list, or in words) and its share in per cent, None where nobody measured."""

    widget = SharesInput

    def clean(self, value: list[Line]) -> Shares:
        found: Shares = {}
        errors: list[str] = []
        for line in value:
            if line.is_there:
                self._read(line, found, errors)
        errors += _over_whole(found)
        if errors:
            raise forms.ValidationError(errors)
        return found

    def _read(self, line: Line, found: Shares, errors: list[str]) -> None:
        words = " ".join(line.words.split())
        if not line.key and not words:
            errors.append(
                _("%(line_share)s %% of what? Name the material beside it, or take the figure away.")
                % {"line_share": line.share}
            )
            return
        if len(words) > 60:
            errors.append(
                _("“%(words)s” is too long for a material; give a word or two, and the rest as description.")
                % {"words": words}
            )
        material, closer = material_of(line.key or words)
        key = closer or material.value
        share, error = _share(line.share)
        errors += [error] if error else []
        found[key] = share if share is not None else found.get(key)

    def has_changed(self, initial: Any, data: Any) -> bool:
        return True


def _share(text: str) -> tuple[Decimal | None, str]:
    """A share as a figure, or what is wrong with it."""
    if not text.strip():
        return None, ""
    try:
        share = Decimal(text.strip().removesuffix("%").strip().replace(",", "."))
    except InvalidOperation:
        return None, _("“%(text)s” is not a share; give a figure from 0 to 100, such as 92.5.") % {
            "text": text
        }
    if not (share.is_finite() and 0 <= share <= 100):
        return None, _("%(text)s %% cannot be a share of the metal; give a figure from 0 to 100.") % {
            "text": text
        }
    if share != round(share, 2):
        return None, _("%(text)s %% is more exact than can be kept; give at most two decimals.") % {
            "text": text
        }
    return share, ""


METALS = frozenset(list(Material)[: list(Material).index(Material.POTTERY)])


def _over_whole(found: Shares) -> Iterable[str]:
    """Metals share the metal, other materials the whole: neither can pass 100 %."""
    for is_metal in (True, False):
        shares = {
            name: share
            for name, share in found.items()
            if share is not None and (material_of(name)[0] in METALS) is is_metal
        }
        total = sum(shares.values(), Decimal(0))
        if total > 100 and len(shares) > 1:
            names = [*shares]
            all_named = listed([_(name) for name in names]).capitalize()
            yield _("%(listed)s add up to %(normalize)s %%; together they cannot pass 100 %%.") % {
                "listed": all_named,
                "normalize": figure(f"{total.normalize():f}"),
            }
