"""The people app."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "people"

    def ready(self) -> None:
        from people import checks  # noqa: F401 - registers them
