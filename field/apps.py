"""The field app."""

from django.apps import AppConfig


class FieldConfig(AppConfig):
    name = "field"
