"""What every page shows: the club's name and the sections this person may open."""

from typing import Any

from django.http import HttpRequest
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _lazy

from people.help_links import help_url
from people.languages import club_of
from web.days import write_days

SECTIONS: tuple[tuple[str | Promise, str, str], ...] = (
    (_lazy("Today"), "today", "/"),
    (_lazy("Land"), "permissions:site_list", "/land/"),
    (_lazy("Hunts"), "hunts:list", "/hunts/"),
    (_lazy("Finds"), "finds:list", "/finds/"),
    (_lazy("Heritage"), "finds:case_list", "/heritage/"),
    (_lazy("Club"), "people:club", "/club/"),
)


def club(request: HttpRequest) -> dict[str, Any]:
    """`club` (settings, or an unsaved row), the page's `help_url`, and `nav` for people with a current membership."""
    found = club_of(request)
    write_days(found.date_format)
    user = getattr(request, "user", None)
    signed_in = user is not None and user.is_authenticated
    shown = {"club": found, "help_url": help_url(request.path, signed_in=signed_in)}
    if user is None or not user.is_authenticated or not user.roles:
        return {**shown, "nav": []}
    return {**shown, "nav": [_entry(request, *section) for section in SECTIONS]}


def _entry(request: HttpRequest, label: str | Promise, name: str, prefix: str) -> dict[str, Any]:
    here = request.path == prefix if prefix == "/" else request.path.startswith(prefix)
    return {"label": label, "url": reverse(name), "current": here}
