"""The shared interface code as a Django app (template tags only; it has no tables)."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "web"

    def ready(self) -> None:
        from django.utils.dateformat import DateFormat
        from django.utils.formats import get_format
        from django.utils.translation import gettext, ngettext

        from tongue import speak_with
        from web.days import short_month

        DateFormat.M = short_month  # type: ignore[method-assign, assignment]
        speak_with(
            gettext, ngettext, lambda: (get_format("DECIMAL_SEPARATOR"), get_format("THOUSAND_SEPARATOR"))
        )
