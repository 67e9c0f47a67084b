"""The hunts app."""

from django.apps import AppConfig


class HuntsConfig(AppConfig):
    name = "hunts"
