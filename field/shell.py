"""What a phone stores to open the field page without a network: its address and digest each, and one version of all."""

import hashlib
from base64 import b64encode
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import gettext as _

from hunts.drill_places import ANYWHERE
from hunts.drill_words import WORDS
from hunts.drills import ON_CARD
from web.languages import tag_now

MODULES = "js/field"
OTHERS = ("css/app.css", "img/icon.svg", "img/icon-192.png", "img/icon-512.png", "img/icon-512-masked.png")


def modules() -> list[str]:
    """The static names of the field page's modules, main.js first."""
    folder = Path(settings.BASE_DIR) / "static" / MODULES
    names = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.js"))
    return [f"{MODULES}/{name}" for name in sorted(names, key=lambda name: name != "main.js")]


def content(name: str) -> bytes:
    """The bytes that a browser gets for a static name: under hashed names they may differ from the source's."""
    stored_name = getattr(staticfiles_storage, "stored_name", None)
    path = staticfiles_storage.path(stored_name(name)) if stored_name else finders.find(name)
    return Path(str(path)).read_bytes()


def _integrity(data: bytes) -> str:
    """Source: W3C Subresource Integrity, 3.1."""
    return f"sha256-{b64encode(hashlib.sha256(data).digest()).decode()}"


def page() -> str:
    """The shell page: the same for everybody, so that it holds nothing about anybody."""
    drills = [drill.at(ANYWHERE) for drill in WORDS if drill.key in ON_CARD]
    context = {"modules": modules(), "drills": drills, "base": reverse("field:shell")}
    return render_to_string("field/shell.html", context)


def manifest() -> dict[str, Any]:
    """The web application manifest. Source: W3C Web Application Manifest."""
    base = reverse("field:shell")
    icons = [
        {"src": static("img/icon.svg"), "sizes": "any", "type": "image/svg+xml"},
        {"src": static("img/icon-192.png"), "sizes": "192x192", "type": "image/png"},
        {"src": static("img/icon-512.png"), "sizes": "512x512", "type": "image/png"},
        {
            "src": static("img/icon-512-masked.png"),
            "sizes": "512x512",
            "type": "image/png",
            "purpose": "maskable",
        },
    ]
    return {
        "id": base,
        "name": _("Stubble field page"),
        "short_name": _("Field page"),
        "description": _("Holes, finds, ground readings and incidents, recorded without signal."),
        "lang": tag_now(),
        "start_url": base,
        "scope": base,
        "display": "standalone",
        "background_color": "#f6f7f1",
        "theme_color": "#f6f7f1",
        "icons": icons,
    }


def _measure() -> tuple[str, list[dict[str, str]]]:
    files = [{"url": static(name), "integrity": _integrity(content(name))} for name in [*modules(), *OTHERS]]
    whole = "\n".join([page(), str(manifest()), *(f"{each['url']} {each['integrity']}" for each in files)])
    return hashlib.sha256(whole.encode()).hexdigest()[:16], files


@cache
def _measured(language: str) -> tuple[str, list[dict[str, str]]]:
    """One page, and so one version, for each language: a phone that changes it fetches the page anew."""
    return _measure()


def shell() -> tuple[str, list[dict[str, str]]]:
    """The version of the whole, and the files with their digests. Measured once, but under DEBUG each time."""
    return _measure() if settings.DEBUG else _measured(tag_now())
