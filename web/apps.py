"""The shared interface code as a Django app (template tags only; it has no tables)."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "web"
