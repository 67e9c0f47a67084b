"""Filters that every template may use: areas, days and times as the club sets them."""

import re
from datetime import date, datetime
from typing import Any

from django import template
from django.forms import BoundField, CheckboxInput
from django.http import QueryDict
from django.utils.dateformat import format as date_format
from django.utils.html import json_script
from django.utils.safestring import SafeString, mark_safe
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import pgettext_lazy as _p_lazy

from law.retold import retold as told_again
from tongue import figure
from web.days import days_as_set, form_of_days
from web.languages import tag_now
from web.script_words import OF_A_PAGE, table

register = template.Library()

ACRE_M2 = 4046.8564224  # the international acre, exactly (International Yard and Pound Agreement, 1959)
GATE_WORDS = {"open": _p_lazy("state of the gate", "Open"), "ask": _lazy("Ask first"), "shut": _lazy("Shut")}


@register.filter
def retold(text: str) -> str:
    """What the law or a kept screening says, in the reader's language."""
    return told_again(str(text or ""))


@register.filter
def area(square_metres: float | None, units: str = "both") -> str:
    """Square metres as '4.2 ha (10.4 acres)', or as the club's units say."""
    if square_metres is None:
        return "–"
    hectares = _("%(value)s ha") % {"value": figure(f"{square_metres / 10000:.1f}")}
    acres = _("%(value)s acres") % {"value": figure(f"{square_metres / ACRE_M2:.1f}")}
    return {"ha": hectares, "acres": acres}.get(units, f"{hectares} ({acres})")


@register.filter
def days(text: str) -> str:
    """A sentence of the gate with its days as the club writes them."""
    return days_as_set(str(text))


@register.filter
def day(value: date | datetime | None, fmt: str = "") -> str:
    """A day as 'Sun 6 Dec 2026', or as the club writes it; a time is shown in the club's zone."""
    if value is None:
        return "–"
    return date_format(localtime(value) if isinstance(value, datetime) else value, fmt or form_of_days())


@register.filter
def at(value: datetime | None) -> str:
    """A day and time as 'Sun 6 Dec 2026, 14:05' in the club's zone."""
    return "–" if value is None else date_format(localtime(value), f"{form_of_days()}, H:i")


@register.simple_tag
def language_tag() -> str:
    """The language of the page as HTML's `lang` takes it: 'en-GB', 'nl' (BCP 47)."""
    return tag_now()


@register.simple_tag
def script_words(part: str) -> SafeString | str:
    """What a part's scripts say, for a page that is not in English: a block of JSON that tongue.js reads."""
    words = table(OF_A_PAGE[part])
    if not words:
        return ""
    # json_script has escaped it; an attribute tells the block from those of the maps.
    return mark_safe(str(json_script(words)).replace("<script ", "<script data-said ", 1))  # noqa: S308


@register.filter
def is_tick(field: BoundField) -> bool:
    """Is this field a single tick box?"""
    return isinstance(field.field.widget, CheckboxInput)


@register.filter
def gate_word(answer: Any) -> str:
    """The gate's answer in words."""
    return str(GATE_WORDS.get(str(answer), str(answer)))


@register.filter
def with_page(query: QueryDict | str, number: int) -> str:
    """The query string with another page number."""
    copy = query.copy() if isinstance(query, QueryDict) else QueryDict(mutable=True)
    copy["page"] = str(number)
    return copy.urlencode()


@register.filter
def in_fours(code: str) -> str:
    """A long code in groups of four, so that it can be typed from a screen: “WDTH U6S3 …”."""
    return " ".join(code[at : at + 4] for at in range(0, len(code), 4))


@register.filter
def dialled(phone: str) -> str:
    """The first number of a phone field as a tel: address takes it (RFC 3966): "999 or 101" dials 999."""
    found = re.search(r"\+?\(?\d[\d ().\-]*", phone)
    return re.sub(r"[^\d+]", "", found[0]) if found else ""
