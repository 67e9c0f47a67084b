"""The finds app."""

from django.apps import AppConfig


class FindsConfig(AppConfig):
    name = "finds"
