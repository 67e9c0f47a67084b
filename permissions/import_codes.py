"""A code for a row of a table of sites that has none: a club that never wrote codes brings its fields all the same."""

from collections.abc import Mapping
from itertools import count

from django.utils.translation import gettext as _

from permissions.models import Site
from web.tables.plan import Reading


def code_for(reading: Reading, here: Mapping[str, Site], taken: set[str], lines: dict[str, int]) -> None:
    """Put a code into a row without one: that of the site here with its name, or the first letters of the name with
    the first free number. The same file gives the same codes again. `taken` is in lower case and gains the new one."""
    name = " ".join(reading.text("name").split())
    if reading.text("code") or not name:
        return
    first = lines.setdefault(f"name {name.casefold()}", reading.line)
    if first != reading.line:
        words = _("Line %(line)s has this name too and neither has a code; give each one.")
        reading.wrong("name", words % {"line": first})
        return
    named = [site for site in here.values() if site.name.casefold() == name.casefold()]
    if len(named) == 1:
        reading.cells["code"] = named[0].code
        return
    start = initials(name)
    code = next(made for n in count(1) if (made := f"{start}{n}").casefold() not in taken)
    taken.add(code.casefold())
    reading.cells["code"] = code


def initials(name: str) -> str:
    """“Long Sixteen” is LS, “Foxsand” is FO."""
    words = ["".join(c for c in word if c.isalnum()) for word in name.split()]
    words = [word for word in words if word] or ["S"]
    return ("".join(word[0] for word in words[:3]) if len(words) > 1 else words[0][:2]).upper()
