"""What the proxy says by itself, while the site is away or before it is asked: pages that need nothing but themselves.

They are made beforehand (`python -m tools.proxy_pages`) and kept in deploy/proxy-pages, where the proxy may read them.
"""

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.translation import gettext as _
from django.utils.translation import override


def _said() -> dict[str, tuple[str, str]]:
    """Heading and words of each page, by the name of its file."""
    return {
        "403": (
            _("That went over an open line"),
            _(
                "The address began with http:// and not with https://, so whoever is on the way could read what was "
                "sent. Nothing was saved. Begin again at Today, and change any password that was sent along."
            ),
        ),
        "413": (
            _("That was too large to send"),
            _(
                "Nothing of it was saved. Go back: what you typed is still there. Send fewer photographs or files at "
                "a time, and add the others afterwards."
            ),
        ),
        "429": (
            _("Too many tries"),
            _(
                "That was tried too often from this connection in a short time. Nothing is lost or locked for good: "
                "wait a minute and try again."
            ),
        ),
        "away": (
            _("The club's site is away for the moment"),
            _(
                "It is being updated, or it is very busy; mostly that takes a few minutes. What you sent just now may "
                "not have been saved: go back, where what you typed is still there, and send it again. Sending twice "
                "does no harm. What a phone has stored on the field page is safe and goes out later by itself. If it "
                "lasts, tell the club's secretary. In an emergency do not wait for this site: call the emergency "
                "services."
            ),
        ),
    }


def pages() -> dict[str, str]:
    """Each page as HTML by its path: a folder for each language (the first part of its tag), then the name."""
    made: dict[str, str] = {}
    for language, _own_name in settings.LANGUAGES:
        with override(language):
            for name, (title, words) in _said().items():
                html = render_to_string("proxy.html", {"title": title, "words": words})
                made[f"{language.split('-')[0]}/{name}.html"] = html
    return made
