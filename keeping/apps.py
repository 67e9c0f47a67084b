"""The keeping app."""

from django.apps import AppConfig


class KeepingConfig(AppConfig):
    name = "keeping"

    def ready(self) -> None:
        from keeping import checks, deploy_checks, disk_checks, front_door, wire_checks  # noqa: F401 - registers them
