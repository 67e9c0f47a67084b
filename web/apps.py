"""The shared interface code as a Django app (template tags only; it has no tables)."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "web"

    def ready(self) -> None:
        from django.utils.translation import gettext, ngettext

        from tongue import speak_with

        speak_with(gettext, ngettext)
